"""Hosts with a network between them, one of which is cut off in the midst of its builds and comes back later."""

from __future__ import annotations

import time
from collections import Counter
from pathlib import Path

import pytest

from tests.bucket_server import BucketServer
from tests.fault_table import Tell
from tests.networks import hosts
from tests.requires import requires
from tests.stack import Stack, eventually, please, stack

pytestmark = [pytest.mark.faults, pytest.mark.proof, requires("bucket", "namespaces")]

PORT = 6379
BAITS = 24


def begun(folder: Path) -> list[str]:
    """The baits that a host has begun, in order."""
    notes = folder / "builds"
    return [line.split()[0] for line in notes.read_text().splitlines()] if notes.exists() else []


def manifests(made: Stack) -> Counter[str]:
    """How many manifests the bucket has of each bait."""
    bucket = made.baits._artifacts._bucket  # type: ignore[attr-defined]
    keys = [one.key.split("/") for one in bucket.below("artifacts")]
    return Counter(parts[-2] for parts in keys if parts[-1] == "manifest.json")


def test_a_worker_host_whose_link_drops_in_the_midst_of_its_builds(
    tmp_path: Path, fault_row: Tell, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("no_proxy", "NO_PROXY"):
        monkeypatch.setenv(name, "198.18.77.1")
    folders = {name: tmp_path / name for name in ("east", "west")}
    with hosts(["shelf", *folders]) as (shelf, east, west):
        server = BucketServer.start(shelf.address, shelf.inside)
        url = f"redis://{shelf.address}:{PORT}/0"
        listening = {"port": str(PORT), "bind": shelf.address, "protected-mode": "no"}
        try:
            with stack(
                store_inside=shelf.inside,
                store_options=listening,
                more={"POURWRIGHT_STORE_URL": url} | server.environ(server.new_bucket()),
            ) as made:
                # Given: two worker hosts, each of two workers, with nothing in common but store and bucket
                for host, folder in zip((east, west), folders.values(), strict=True):
                    folder.mkdir()
                    made.start_pool(host.inside, POURWRIGHT_STATE_DIR=str(folder))
                eventually(lambda: int(made.connection.scard("pourwright:workers")) == 4, 60)  # type: ignore[arg-type]
                requests = [please("sleep", seconds=1, n=number) for number in range(BAITS)]
                for request in requests:
                    made.submit(request)
                eventually(lambda: begun(folders["east"]) and len(begun(folders["west"])) > 2, 60)
                before = len(begun(folders["west"]))
                eventually(lambda: len(begun(folders["west"])) > before, 60, every=0.002)
                # When: the link of one drops just as it has begun a build
                west.cut()
                cut = time.monotonic()
                under_way = begun(folders["west"])[-1]
                # Then: the other builds all that is left, that one too
                for request in requests:
                    view = made.ended(request, seconds=90)
                    assert view.status == "successful", (view, made.log())
                seconds = time.monotonic() - cut
                assert under_way in begun(folders["east"]), "what was under way there was begun here"
                assert manifests(made) == {request.id: 1 for request in requests}
                # When: the link is there again
                west.mend()
                # Then: that host works on, and what it had half done has not become a second bait of any
                more = [please("sleep", seconds=1, late=number) for number in range(BAITS)]
                known = len(begun(folders["west"]))
                asked = []
                for request in more:
                    made.submit(request)
                    asked.append(request)
                    time.sleep(1)
                    if len(begun(folders["west"])) > known:
                        break
                eventually(lambda: len(begun(folders["west"])) > known, 60)
                for request in asked:
                    view = made.ended(request, seconds=60)
                    assert view.status == "successful", (view, made.log())
                whole = [*requests, *asked]
                assert manifests(made) == {request.id: 1 for request in whole}
                for request in whole:
                    assert made.baits.file("local", request.id, "bait.stl") is not None
                again = sum(len(begun(folder)) for folder in folders.values()) - len(whole)
                seen = f"{BAITS} built, {again} begun twice, one manifest each; it works on"
                fault_row(
                    "a worker host's link drops", "its link down amid builds, up when all had ended", seen, seconds
                )
        finally:
            server.stop()
