"""What callers see: submit, look, wait, dismiss, remove."""

from __future__ import annotations

import threading
import time
from collections.abc import Collection
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.stack import Request, Stack, please
from worker.errors import Busy, GeometryFailed, InternalFault, UnknownResource
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.feeder import Feeder
from worker.records.names import AttemptName, BaitName
from worker.records.view import now_text

REQUEST = please("nothing")


def start(records: Stack, request: Request = REQUEST, caller: str = "local") -> AttemptName:
    Feeder(records.connection, workers=8, limit_s=20).feed()
    bait = BaitName(caller, request.id)
    attempt = bait.attempt(int(records.connection.hget(bait.record, "attempt") or 0))
    assert Attempts(records.connection).start(attempt)
    return attempt


def keep(records: Stack, attempt: AttemptName, request: Request = REQUEST) -> None:
    manifest = {"id": attempt.bait.id, "attempt": attempt.number, "request": request.normal}
    manifest |= {"metrics": {"volume_mm3": 1.5}, "checks": [], "cautions": [], "files": [], "timings": {}}
    manifest |= {"created": now_text(), "finished": now_text()}
    assert FolderArtifacts(records.settings.state_dir).put_all(attempt, {"metrics.json": b"{}"}, manifest)


def finish(records: Stack, request: Request = REQUEST, caller: str = "local") -> None:
    attempt = start(records, request, caller)
    keep(records, attempt, request)
    assert Attempts(records.connection).succeed(attempt)


def test_a_new_request_is_accepted_and_a_second_one_joins_it(records: Stack) -> None:
    first = records.baits.submit("local", REQUEST)
    assert (first.created, first.bait.status, first.bait.attempt) == (True, "accepted", 1)
    assert first.bait.request == REQUEST.normal
    second = records.baits.submit("local", REQUEST)
    assert (second.created, second.bait) == (False, first.bait)


def test_two_callers_with_one_request_have_two_baits(records: Stack) -> None:
    records.baits.submit("a", REQUEST)
    assert records.baits.view("b", REQUEST.id) is None
    assert records.baits.submit("b", REQUEST).created
    records.baits.dismiss("a", REQUEST.id)
    assert records.baits.view("b", REQUEST.id).status == "accepted"  # type: ignore[union-attr]


def test_two_hundred_submissions_at_once_are_one_bait(records: Stack) -> None:
    baits = records.baits
    with ThreadPoolExecutor(20) as threads:
        answers = list(threads.map(lambda _: baits.submit("local", REQUEST), range(200)))
    assert sum(answer.created for answer in answers) == 1
    assert {answer.bait.attempt for answer in answers} == {1}
    assert Feeder(records.connection, workers=8, limit_s=20).feed() == 1


@pytest.mark.parametrize("bait_id", ["", "x", REQUEST.id, "../" * 10, REQUEST.id.upper()])
def test_an_unknown_or_unreadable_id_is_none(records: Stack, bait_id: str) -> None:
    assert records.baits.view("local", bait_id) is None
    assert records.baits.wait("local", bait_id, 1) is None
    assert records.baits.dismiss("local", bait_id) is None
    assert records.baits.delete("local", bait_id) is False
    with pytest.raises(UnknownResource):
        records.baits.file("local", bait_id, "metrics.json")


def test_a_finished_bait_is_told_from_its_manifest_without_the_store(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    finish(records)
    records.connection.flushall()
    view = records.baits.view("local", REQUEST.id)
    assert view is not None
    assert (view.status, view.metrics) == ("successful", {"volume_mm3": 1.5})
    again = records.baits.submit("local", REQUEST)
    assert (again.created, again.bait) == (False, view)
    assert records.baits.file("local", REQUEST.id, "metrics.json").read_bytes() == b"{}"


@pytest.mark.parametrize("name", ["manifest.json", "../manifest.json", "", ".", "nothing.stl", "/etc/passwd"])
def test_only_a_baits_own_files_are_given_out(records: Stack, name: str) -> None:
    records.baits.submit("local", REQUEST)
    finish(records)
    with pytest.raises(UnknownResource):
        records.baits.file("local", REQUEST.id, name)


def test_a_fault_of_the_bait_is_answered_the_same_and_not_built_again(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    Attempts(records.connection).fail(start(records), GeometryFailed("The solid is not closed."))
    answer = records.baits.submit("local", REQUEST)
    assert (answer.created, answer.bait.status, answer.bait.attempt) == (False, "failed", 1)
    assert answer.bait.problem == {
        "type": "urn:pourwright:problem:geometry-failed",
        "title": GeometryFailed.title,
        "detail": "The solid is not closed.",
    }
    records.connection.pexpire(BaitName("local", REQUEST.id).record, 1)  # the ten minutes are over
    time.sleep(0.01)
    assert records.baits.submit("local", REQUEST).created


def test_a_fault_of_ours_is_tried_again_as_the_next_attempt(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    Attempts(records.connection).fail(start(records), InternalFault("A fault of ours."))
    assert records.baits.view("local", REQUEST.id).status == "failed"  # type: ignore[union-attr]
    again = records.baits.submit("local", REQUEST)
    assert (again.created, again.bait.status, again.bait.attempt) == (True, "accepted", 2)
    assert again.bait.problem is None


def test_a_bait_whose_files_were_cleared_away_is_built_again(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    finish(records)
    FolderArtifacts(records.settings.state_dir).delete(BaitName("local", REQUEST.id))
    assert records.baits.view("local", REQUEST.id) is None
    again = records.baits.submit("local", REQUEST)
    assert (again.created, again.bait.attempt) == (True, 2)


def test_only_so_many_single_baits_wait(records: Stack) -> None:
    for number in range(records.settings.queue_limit):
        records.baits.submit(f"caller{number}", please("nothing", n=number))
    with pytest.raises(Busy) as busy:
        records.baits.submit("local", REQUEST)
    assert busy.value.retry_after_s > 0
    assert records.baits.view("local", REQUEST.id) is None
    assert not records.baits.submit("caller0", please("nothing", n=0)).created, "what is known is no more work"
    assert records.baits.submit("local", REQUEST, lane="batch").created, "the bound is the single lane's"
    records.baits.dismiss("caller0", please("nothing", n=0).id)
    assert records.baits.submit("local", please("nothing", n=99)).created


def test_a_finished_bait_is_removed_for_its_caller_only(records: Stack) -> None:
    for caller in ("a", "b"):
        records.baits.submit(caller, REQUEST)
        finish(records, caller=caller)
    looked_before = records.baits
    assert looked_before.view("a", REQUEST.id) is not None
    assert records.baits.delete("a", REQUEST.id) is True
    assert looked_before.view("a", REQUEST.id) is None, "another process remembers nothing that is gone"
    assert records.baits.delete("a", REQUEST.id) is False
    assert records.baits.view("b", REQUEST.id) is not None
    assert records.unfinished_folders() == []
    assert records.baits.submit("a", REQUEST).created


def test_a_failed_bait_is_removed(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    Attempts(records.connection).fail(start(records), GeometryFailed("Not closed."))
    assert records.baits.delete("local", REQUEST.id) is True
    assert records.baits.view("local", REQUEST.id) is None


def test_what_has_not_ended_is_not_removed(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    assert records.baits.delete("local", REQUEST.id) is False
    start(records)
    assert records.baits.delete("local", REQUEST.id) is False
    assert records.baits.view("local", REQUEST.id).status == "running"  # type: ignore[union-attr]


def test_a_bait_removed_between_its_files_and_its_record_is_gone(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    attempt = start(records)
    keep(records, attempt)
    assert records.baits.delete("local", REQUEST.id) is True
    assert records.baits.view("local", REQUEST.id) is None
    assert Attempts(records.connection).succeed(attempt) is False


def test_dismissing_twice_is_dismissed_and_an_ended_bait_stays(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    for _ in range(2):
        assert records.baits.dismiss("local", REQUEST.id).status == "dismissed"  # type: ignore[union-attr]
    assert records.baits.submit("local", REQUEST).bait.attempt == 2
    finish(records)
    assert records.baits.dismiss("local", REQUEST.id).status == "successful"  # type: ignore[union-attr]


def test_a_waiter_is_woken_by_the_end(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    attempt = start(records)
    seen: list[str] = []
    waiters = [
        threading.Thread(target=lambda: seen.append(records.baits.wait("local", REQUEST.id, 20).status))  # type: ignore[union-attr]
        for _ in range(5)
    ]
    for waiter in waiters:
        waiter.start()
    keep(records, attempt)
    Attempts(records.connection).succeed(attempt)
    for waiter in waiters:
        waiter.join(10)
    assert seen == ["successful"] * 5


def test_a_waiter_whose_time_is_up_sees_what_is(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    assert records.baits.wait("local", REQUEST.id, 0.05).status == "accepted"  # type: ignore[union-attr]


def test_the_end_of_an_earlier_attempt_wakes_nobody(records: Stack) -> None:
    records.baits.submit("local", REQUEST)
    Attempts(records.connection).fail(start(records), InternalFault("A fault of ours."))
    records.baits.submit("local", REQUEST)
    assert records.baits.wait("local", REQUEST.id, 0.05).status == "accepted"  # type: ignore[union-attr]


def test_baits_are_found_by_their_plastics_name_newest_first_until_they_are_removed(records: Stack) -> None:
    requests = [please("nothing", number=number, plastic={"name": "ours"}) for number in range(4)]
    other = please("nothing", plastic={"name": "theirs"})
    for request in (*requests, other, REQUEST):
        records.baits.submit("local", request, lane="batch")
    records.baits.submit("other", requests[0], lane="batch")
    found, count = records.baits.of_plastic("local", "ours", 3)
    assert [bait.id for bait in found] == [request.id for request in reversed(requests[1:])] and count == 4
    assert [bait.request for bait in records.baits.of_plastic("local", "theirs", 9)[0]] == [other.normal]
    # One that was removed makes room for the next
    records.baits.dismiss("local", requests[3].id)
    assert records.baits.delete("local", requests[3].id)
    found, count = records.baits.of_plastic("local", "ours", 3)
    assert [bait.id for bait in found] == [request.id for request in reversed(requests[:3])] and count == 3
    assert records.baits.of_plastic("local", "none", 3) == ([], 0)


def test_a_finished_bait_is_found_by_its_plastics_name(records: Stack) -> None:
    request = please("nothing", plastic={"name": "ours"})
    records.baits.submit("local", request)
    finish(records, request)
    ((bait,), count) = records.baits.of_plastic("local", "ours", 3)
    assert (bait.status, bait.request, count) == ("successful", request.normal, 1)


def test_what_is_gone_is_not_counted_with_a_plastic_however_old_it_is(records: Stack) -> None:
    requests = [please("nothing", number=number, plastic={"name": "ours"}) for number in range(4)]
    for request in requests:
        records.baits.submit("local", request, lane="batch")
    removed, forgotten, swept, kept = requests
    records.baits.dismiss("local", removed.id)
    assert records.baits.delete("local", removed.id)
    records.connection.delete(BaitName("local", forgotten.id).record)  # as ten minutes after it was dismissed
    finish(records, swept)
    records.baits._artifacts.delete(BaitName("local", swept.id))
    # Counted beyond the few that are shown
    found, count = records.baits.of_plastic("local", "ours", 1)
    assert [bait.id for bait in found] == [kept.id] and count == 1
    assert records.baits.of_plastic("local", "ours", 0) == ([], 1)
    assert records.connection.zcard("pourwright:poured:local:ours") == 1


def test_one_that_is_asked_for_anew_while_it_is_noticed_that_it_was_gone_is_found(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    request = please("nothing", plastic={"name": "ours"})
    records.baits.submit("local", request)
    records.baits.dismiss("local", request.id)
    assert records.baits.delete("local", request.id)
    baits = records.baits
    really = baits._artifacts.stamps

    def asked_for_meanwhile(names: Collection[BaitName]) -> list[object | None]:
        stamps = really(names)
        records.baits.submit("local", request)
        return stamps

    monkeypatch.setattr(baits._artifacts, "stamps", asked_for_meanwhile)
    assert baits.of_plastic("local", "ours", 3) == ([], 0)
    assert records.baits.of_plastic("local", "ours", 3)[1] == 1
