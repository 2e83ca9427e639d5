"""The Python client against the running service."""

from __future__ import annotations

import copy
import hashlib
import json
import urllib.request
import zipfile
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from pourwright_client import (
    Batch,
    BatchItem,
    Check,
    Clash,
    Client,
    EndedBadly,
    Fault,
    File,
    Fit,
    Link,
    NotAllowed,
    NotThere,
    Problem,
    Refused,
    Remedy,
    Webhook,
    patched,
    records,
    webhooks,
)

from service.keys.book import KeyBook, keys_file
from service.keys.key import new_key
from service.openapi.document import document
from service.scopes import Scope
from tests.clients.programs import GOOD, IMPOSSIBLE, WEAK
from tests.hooks.receiver import Receiver
from tests.http.running import service
from tests.stack import eventually

FIT = {"style": "beaded_worm", "free": {"bead_count": {}}, "goal": "greatest_flexibility", "evaluations": 20}


@pytest.fixture(scope="module")
def client(address: str) -> Client:
    return Client(address, key="")


def bare(beads: int) -> dict[str, Any]:
    """Each test its own bait: equal requests are one."""
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": beads}, "outputs": []}


def test_an_estimate_and_its_remedy(client: Client) -> None:
    estimated = client.estimate(WEAK)
    (failed,) = estimated.failed_checks
    assert failed.check == "joint_pull" and failed.value is not None and failed.limit is not None
    assert failed.value < failed.limit and estimated.files == ()
    before = copy.deepcopy(WEAK)
    mended = client.estimate(patched(WEAK, failed.remedies[0].patch))
    assert mended.failed_checks == () and before == WEAK


def test_a_bait_is_built_and_each_file_is_what_its_digest_says(client: Client, tmp_path: Path) -> None:
    bait = client.build({**GOOD, "label": "Alderbank 4"})
    assert (bait.status, bait.label) == ("successful", "Alderbank 4")
    saved = client.save(bait, tmp_path / "out")
    assert [path.name for path in saved] == [file.name for file in bait.files] and "bait.stl" in {p.name for p in saved}
    for file, path in zip(bait.files, saved, strict=True):
        content = path.read_bytes()
        assert (len(content), hashlib.sha256(content).hexdigest()) == (file.bytes, file.sha256)
        assert client.fetch(file) == content
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(path.name for path in saved)
    assert client.bait(bait.id).files == bait.files and client.wait(bait.id).id == bait.id


def test_what_is_ordered_is_waited_for_and_removed(client: Client) -> None:
    ordered = client.order(bare(21))
    assert client.wait(ordered, within_s=60).status == "successful"
    client.remove(ordered)
    with pytest.raises(NotThere):
        client.bait(ordered.id)


def test_a_refusal_carries_every_fault_by_its_pointer(client: Client) -> None:
    with pytest.raises(Refused) as caught:
        client.build({"style": "beaded_worm", "params": {"bead_count": 0, "taper": 9}, "colour": "red"})
    assert {fault.pointer for fault in caught.value.faults} == {"/params/bead_count", "/params/taper", "/colour"}
    assert caught.value.status == 422 and caught.value.problem.kind == "invalid-request"
    (fault,) = caught.value.problem.at("/params/bead_count")
    assert fault.allowed["minimum"] == 3
    with pytest.raises(Refused) as impossible:
        client.estimate(IMPOSSIBLE)
    assert impossible.value.problem.kind == "infeasible" and "/params/core_diameter" in str(impossible.value)


def test_a_fit_whose_best_is_ordered_as_it_stands(client: Client, tmp_path: Path) -> None:
    found = client.fit(FIT, idempotency_key="a search of ours")
    assert found.best is not None and client.found(found.id).best == found.best
    assert client.wait(client.search(FIT)).best == found.best
    assert client.estimate(found.best).failed_checks == ()
    assert {path.name for path in client.save(found, tmp_path)} == {file.name for file in found.files}
    # The same key with another search is refused: nobody gets another's answer.
    with pytest.raises(Refused) as caught:
        client.fit({**FIT, "evaluations": 21}, idempotency_key="a search of ours")
    assert caught.value.problem.kind == "idempotency-key-reused"


def test_a_batch_is_told_item_by_item_and_kept_in_one_file(client: Client, tmp_path: Path) -> None:
    requests = [bare(22), bare(0), {**bare(23), "label": "twenty-three"}, bare(22)]
    batch = client.batches.submit(requests, idempotency_key="spring")
    told = list(client.batches.results(batch, within_s=90))
    assert sorted(item.index for item in told) == [0, 1, 2, 3]
    by_index = {item.index: item for item in told}
    assert by_index[0].id == by_index[3].id and by_index[2].label == "twenty-three"
    refused = by_index[1].problem
    assert (
        by_index[1].status == "invalid" and refused is not None and refused.errors[0].pointer == "/1/params/bead_count"
    )
    assert client.batches.submit(requests, idempotency_key="spring").id == batch.id
    ended = client.batches.finish(batch)
    assert (ended.status, ended.counts["successful"], ended.counts["invalid"]) == ("successful", 3, 1)
    with zipfile.ZipFile(client.batches.archive(ended, tmp_path / "range.zip")) as archive:
        folders = {one["folder"] for one in json.loads(archive.read("batch.json"))["items"] if one["folder"]}
        assert {name.partition("/")[0] for name in archive.namelist()} == {"batch.json", *folders}
    assert [path.name for path in tmp_path.iterdir()] == ["range.zip"]
    client.batches.remove(ended)
    with pytest.raises(NotThere):
        client.batches.get(ended.id)


def test_an_archive_before_the_end_is_a_clash_and_leaves_no_file(client: Client, tmp_path: Path) -> None:
    batch = client.batches.submit([{"style": "craw", "params": {"length": f"{90 + n} mm"}} for n in range(4)])
    with pytest.raises(Clash):
        client.batches.archive(batch, tmp_path / "early.zip")
    assert list(tmp_path.iterdir()) == []
    client.batches.remove(batch)


def test_a_link_opens_one_file_without_a_key(client: Client) -> None:
    bait = client.build(GOOD)
    link = client.link(bait.file("bait.stl"), bait, seconds=60)
    with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(link.href) as answer:
        assert hashlib.sha256(answer.read()).hexdigest() == bait.file("bait.stl").sha256


def test_webhooks_are_verified_while_their_secret_changes(client: Client, till: Receiver) -> None:
    first = client.webhooks.keep("counter", f"{till.origin}/ended", events=["bait.finished"]).secret
    second = client.webhooks.keep("counter", f"{till.origin}/ended", events=["bait.finished"], new_secret=True).secret
    assert first and second and first != second
    before = len(till.calls)
    bait = client.build(bare(24))
    headers, body = eventually(lambda: till.calls[before:])[0]
    for secrets in (first, second, ["whsec_" + "AAAA" * 8, second]):
        event = webhooks.verify(headers, body, secrets)
        assert (event.type, event.about, event.status) == ("bait.finished", bait.id, "successful")
    assert client.webhooks.get("counter").address == f"{till.origin}/ended"
    assert "counter" in {one.name for one in client.webhooks.list()}
    client.webhooks.forget("counter")
    assert "counter" not in {one.name for one in client.webhooks.list()}


def test_a_plastic_of_ones_own(client: Client) -> None:
    figures = {"strength": {"low": 1.3, "typical": 1.6, "high": 1.9, "source": "six bars"}}
    assert client.plastics.keep("kettle_nine", {"grade": "soft", "properties": figures})["name"] == "kettle_nine"
    # Force over unstretched area: 36.5 N over 24 mm2.
    bar = {"kind": "pull", "gauge_width": "6 mm", "gauge_thickness": "4 mm", "break_force_n": 36.5}
    measured = client.plastics.measure("kettle_nine", {"source": "one bar", "measurements": [bar]})
    assert measured["plastic"]["strength"]["typical"] == pytest.approx(36.5 / 24, abs=5e-3)
    assert client.plastics.get("kettle_nine")["strength"] == measured["plastic"]["strength"]
    assert "kettle_nine" in {one["name"] for one in client.plastics.list()}
    client.plastics.forget("kettle_nine")
    with pytest.raises(Clash):
        client.plastics.keep("soft", {"grade": "soft", "properties": figures})


def test_a_house_style(client: Client) -> None:
    ours = {"base": "jointed_worm", "label": "Alderbank", "fixed": {"core_diameter": "5.5 mm"}}
    kept = client.house_styles.keep("alder_house", ours)
    assert (kept["name"], kept["base"], kept["title"]) == ("alder_house", "jointed_worm", "Alderbank")
    assert client.house_styles.get("alder_house") == client.style("alder_house") == kept
    names = {one["name"] for one in client.house_styles.list()}
    assert "alder_house" in names and "jointed_worm" not in names
    assert client.house_styles.keep("alder_house", kept["definition"]) == kept, "what is told can be kept again"
    asked = {"style": "alder_house", "params": {"bead_count": 11}}
    plain = {"style": "jointed_worm", "params": {"bead_count": 11, "core_diameter": "5.5 mm"}}
    assert client.estimate(asked).metrics == client.estimate(plain).metrics
    with pytest.raises(Refused) as refused:
        client.estimate({"style": "alder_house", "params": {"core_diameter": 5}})
    assert [fault.pointer for fault in refused.value.faults] == ["/params/core_diameter"]
    client.house_styles.forget("alder_house")
    assert "alder_house" not in {one["name"] for one in client.house_styles.list()}
    with pytest.raises(NotThere):
        client.house_styles.get("alder_house")
    with pytest.raises(Clash):
        client.house_styles.keep("craw", ours)


def test_styles_are_there_to_draw_a_form_from(client: Client) -> None:
    names = {style["name"] for style in client.styles()}
    assert "craw" in names and "properties" in client.style("craw")["params_schema"]


def test_a_dismissed_bait_is_an_ending_too(client: Client) -> None:
    ahead = [client.order({"style": "craw", "params": {"length": f"{100 + n} mm"}}) for n in range(3)]
    last = client.order({"style": "craw", "params": {"length": "104 mm"}})
    client.remove(last)
    with pytest.raises(EndedBadly) as caught:
        client.wait(last)
    assert caught.value.record.status == "dismissed"
    for bait in ahead:
        client.remove(bait)


@pytest.mark.proof
def test_a_key_opens_what_its_scopes_say(monkeypatch: pytest.MonkeyPatch) -> None:
    """A service of its own: one that has had keys asks for them until it is stopped."""
    with service(workers=False) as guarded:
        made, token = new_key("alder", (Scope.READ,), "", datetime.now(UTC), None)
        KeyBook(keys_file(guarded.stack.settings)).add(made)
        address = f"http://127.0.0.1:{guarded.port}"
        monkeypatch.setenv("POURWRIGHT_KEY", token)
        assert Client(address).estimate(GOOD).failed_checks == ()
        with pytest.raises(NotAllowed) as without_scope:
            Client(address).build(GOOD)
        with pytest.raises(NotAllowed) as without_key:
            Client(address, key="").estimate(GOOD)
        assert (without_scope.value.status, without_key.value.status) == (403, 401)


@pytest.mark.parametrize(
    ("kind", "schema"),
    [
        (records.Bait, "Bait"),
        (Check, "Check"),
        (Remedy, "Remedy"),
        (File, "File"),
        (Fit, "Fit"),
        (Batch, "Batch"),
        (BatchItem, "BatchItem"),
        (Link, "Link"),
        (Webhook, "Webhook"),
        (Problem, "Problem"),
        (Fault, "Fault"),
    ],
)
def test_what_the_client_reads_is_what_the_document_says(kind: Any, schema: str) -> None:
    told = document()["components"]["schemas"][schema]["properties"]
    assert {each.name for each in fields(kind)} - {"raw"} == set(told)
