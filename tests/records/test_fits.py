"""Fits over a real store: records like baits', told apart from them, and small ones done by whoever submits them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.records.test_baits import finish
from tests.stack import Request, Stack, please
from worker.errors import Busy, GeometryFailed
from worker.hooks.signing import new_secret
from worker.records.artifacts import FolderArtifacts
from worker.records.carrying import Done
from worker.records.feeder import Feeder
from worker.records.names import FIT_LANE, BaitName, in_flight
from worker.records.outbox import Outbox
from worker.records.reaper import LEASE_S, Reaper
from worker.records.webhooks import EVENT_NAMES, Webhook, WebhookBook

FIT = please("search")
BAIT = please("nothing")


def found(normal: dict[str, Any]) -> Done:
    return Done({"fit.json": b"{}", "tradeoff.svg": b"<svg/>"}, {}, {"answer": {"best": normal["do"]}})


def test_a_small_fit_is_done_before_the_answer(records: Stack) -> None:
    taken = records.fits.do("local", FIT, found)
    assert (taken.created, taken.bait.status, taken.bait.attempt) == (True, "successful", 1)
    assert taken.bait.answer == {"best": "search"} and taken.bait.request == FIT.normal
    assert {file["name"]: file["media_type"] for file in taken.bait.files} == {
        "fit.json": "application/json",
        "tradeoff.svg": "image/svg+xml",
    }
    plot = records.fits.file("local", FIT.id, "tradeoff.svg")
    assert isinstance(plot, Path) and plot.read_bytes() == b"<svg/>"
    assert taken.bait.timings["search"] >= 0 and "build" not in taken.bait.timings
    again = records.fits.do("local", FIT, lambda normal: pytest.fail("it is there"))
    assert (again.created, again.bait) == (False, taken.bait)
    assert Feeder(records.connection, workers=2, limit_s=20).feed() == 0 and in_no_line(records)


def in_no_line(records: Stack) -> bool:
    keys = ("pourwright:line:*", "pourwright:lane:*", "pourwright:flight:*", "pourwright:wants:*")
    return not [key for pattern in keys for key in records.connection.keys(pattern)]


def test_fits_and_baits_do_not_see_each_other(records: Stack) -> None:
    records.fits.do("local", FIT, found)
    records.baits.submit("local", BAIT)
    other = please("another")
    records.fits.submit("local", other)
    for fit in (FIT, other):
        assert records.baits.view("local", fit.id) is None
        assert records.baits.dismiss("local", fit.id) is None and records.baits.delete("local", fit.id) is False
    assert records.fits.view("local", BAIT.id) is None and records.fits.dismiss("local", BAIT.id) is None
    finish(records, BAIT)
    assert records.fits.view("local", BAIT.id) is None and records.fits.delete("local", BAIT.id) is False
    assert records.fits.view("local", FIT.id).status == "successful"  # type: ignore[union-attr]
    assert records.fits.view("other", FIT.id) is None


def test_what_fails_for_a_reason_of_ours_is_a_fit_that_failed_and_is_tried_anew(records: Stack) -> None:
    def breaks(normal: dict[str, Any]) -> Done:
        raise ZeroDivisionError("a secret of the inside")

    failed = records.fits.do("local", FIT, breaks).bait
    assert failed.status == "failed" and failed.problem is not None
    assert failed.problem["type"] == "urn:pourwright:problem:internal" and "secret" not in str(failed.problem)
    assert in_no_line(records)
    again = records.fits.do("local", FIT, found)
    assert (again.created, again.bait.status, again.bait.attempt) == (True, "successful", 2)


def test_what_fails_for_a_reason_of_the_fit_is_not_tried_again_at_once(records: Stack) -> None:
    def refuses(normal: dict[str, Any]) -> Done:
        raise GeometryFailed("It cannot be.")

    assert records.fits.do("local", FIT, refuses).bait.status == "failed"
    again = records.fits.do("local", FIT, lambda normal: pytest.fail("it would fail again"))
    assert (again.created, again.bait.status) == (False, "failed")


def test_a_service_that_dies_in_the_midst_leaves_the_fit_to_a_worker(records: Stack) -> None:
    def dies(normal: dict[str, Any]) -> Done:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        records.fits.do("local", FIT, dies)
    assert records.fits.view("local", FIT.id).status == "running"  # type: ignore[union-attr]
    # Whoever asks meanwhile is told that it is under way
    again = records.fits.do("local", FIT, lambda normal: pytest.fail("it is being done"))
    assert (again.created, again.bait.status) == (False, "running")
    reaper, now = Reaper(records.connection, FolderArtifacts(records.settings.state_dir)), 1000.0
    for _ in range(int(2 * (LEASE_S + 3))):
        now += 0.5
        reaper.look(now)
    assert Feeder(records.connection, workers=2, limit_s=20).feed() == 1
    assert records.connection.smembers(in_flight(FIT_LANE)) == {BaitName("local", FIT.id).member.encode()}
    assert records.connection.hget(BaitName("local", FIT.id).record, "attempt") == b"2"


def test_what_was_held_up_for_longer_than_a_lease_changes_nothing(records: Stack) -> None:
    def held_up(normal: dict[str, Any]) -> Done:
        reaper, now = Reaper(records.connection, FolderArtifacts(records.settings.state_dir)), 1000.0
        for _ in range(int(2 * (LEASE_S + 1))):
            now += 0.5
            reaper.look(now)
        return found(normal)

    assert records.fits.do("local", FIT, held_up).bait.status == "accepted"
    assert list(records.settings.state_dir.glob("artifacts/local/*/*/*")) == []


def test_one_that_is_dismissed_in_the_midst_stays_dismissed(records: Stack) -> None:
    def dismissed(normal: dict[str, Any]) -> Done:
        assert records.fits.dismiss("local", FIT.id).status == "dismissed"  # type: ignore[union-attr]
        return found(normal)

    assert records.fits.do("local", FIT, dismissed).bait.status == "dismissed"
    assert list(records.settings.state_dir.glob("artifacts/local/*/*/*")) == [] and in_no_line(records)
    assert records.fits.do("local", FIT, found).bait.attempt == 2


def test_as_many_wait_as_may_and_baits_wait_elsewhere(one_store: Stack, records: Stack) -> None:
    fits = records.fits
    fits._queue_limit = 2
    for number in range(2):
        fits.submit("local", please("search", n=number))
        records.baits.submit("local", please("nothing", n=number))
    with pytest.raises(Busy, match="2 fits are waiting"):
        fits.submit("other", please("search", n=2))
    # What is done at once does not wait
    assert fits.do("other", please("search", n=2), found).bait.status == "successful"
    assert fits.submit("local", please("search", n=1)).created is False
    records.baits.submit("local", please("nothing", n=2))


def test_a_single_bait_goes_before_a_fit(records: Stack) -> None:
    records.fits.submit("local", FIT)
    records.baits.submit("local", BAIT)
    survey = Feeder(records.connection, workers=1, limit_s=20)
    assert survey.feed() == 2
    assert records.connection.lrange("rq:queue:pourwright", 0, -1) == [
        f"local-{one.id}-1".encode() for one in (BAIT, FIT)
    ]


def test_an_own_plastic_of_a_fit_names_no_bait(records: Stack) -> None:
    records.fits.submit("local", Request({"do": "search", "plastic": {"name": "ours"}}))
    assert records.baits.of_plastic("local", "ours", 10) == ([], 0)


def test_each_way_to_end_is_told_as_a_fits(records: Stack) -> None:
    address, events = "https://hooks.alderbank.example/", EVENT_NAMES
    hook = Webhook(name="till", id="id", address=address, events=events, created="", secrets=((new_secret(), None),))
    assert WebhookBook(records.connection).swap("local", "till", None, hook)

    def refuses(normal: dict[str, Any]) -> Done:
        raise GeometryFailed("It cannot be.")

    records.fits.do("local", FIT, found)
    records.fits.do("local", please("refuse"), refuses)
    records.fits.submit("local", please("wait"))
    records.fits.dismiss("local", please("wait").id)
    outbox = Outbox(records.connection)
    assert outbox.fan_out(0.0) == 3
    told = []
    while (claim := outbox.claim(10.0, 0.0)) is not None:
        told.append(json.loads(claim.message.body))
        assert told[-1]["type"] == claim.message.type
        outbox.settle(claim, "done", "arrived")
    assert sorted(one["type"] for one in told) == ["fit.dismissed", "fit.failed", "fit.finished"]
    assert all(one["data"]["links"]["self"] == f"/v1/fits/{one['data']['id']}" for one in told)
