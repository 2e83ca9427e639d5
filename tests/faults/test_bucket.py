"""The bucket that finished baits go to is away, stalls or refuses us: what was accepted waits, and comes out once."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.bucket_server import BucketServer
from tests.fault_table import Tell
from tests.requires import requires
from tests.stack import Stack, eventually, please, stack
from worker.errors import ArtifactsUnavailable
from worker.files.stored_archive import pieces_of

pytestmark = [pytest.mark.faults, requires("bucket")]


@pytest.fixture
def server() -> Iterator[BucketServer]:
    made = BucketServer.start()
    yield made
    made.go_on()
    made.stop()


@pytest.fixture
def working(server: BucketServer) -> Iterator[Stack]:
    with stack(more=server.environ(server.new_bucket())) as made:
        made.start_pool()
        yield made


def test_a_bait_is_built_into_the_bucket_and_none_of_it_into_a_folder(working: Stack) -> None:
    request = please("nothing", bytes=3_000_000)
    working.submit(request)
    view = working.ended(request)
    assert (view.status, view.attempt) == ("successful", 1), working.log()
    found = working.baits.file("local", request.id, "bait.stl")
    assert not isinstance(found, Path) and b"".join(pieces_of(found, 0, 3_000_000)) == bytes(3_000_000)
    assert not (working.settings.state_dir / "artifacts").exists()


def test_what_is_accepted_while_the_bucket_stalls_is_built_once_it_answers(
    working: Stack, server: BucketServer, fault_row: Tell
) -> None:
    first, during = please("nothing", n=1), please("nothing", n=2)
    working.submit(first)
    assert working.ended(first).status == "successful"
    under_way = please("sleep", seconds=2, good_after=9)
    working.submit(under_way)
    eventually(lambda: working.builds(under_way))
    server.pause()
    begun = time.monotonic()
    with pytest.raises(ArtifactsUnavailable) as away:
        working.baits.submit("local", during)
    refused = time.monotonic() - begun
    assert refused < 6 and away.value.retry_after_s == 5
    time.sleep(4)
    server.go_on()
    mended = time.monotonic()
    working.submit(during)
    for request in (under_way, during):
        view = working.ended(request, seconds=40)
        assert view.status == "successful", (view, working.log())
    seconds = time.monotonic() - mended
    fault_row("bucket stalls", "10 s under a build", f"built; refused in {refused:.1f} s meanwhile", seconds)


def test_what_waits_in_line_loses_no_try_while_the_bucket_is_away(server: BucketServer, fault_row: Tell) -> None:
    with stack(more=server.environ(server.new_bucket())) as waiting:
        requests = [please("nothing", n=number) for number in range(6)]
        for request in requests:
            waiting.submit(request)
        server.pause()
        waiting.start_pool()
        time.sleep(25)  # longer than three tries would take
        assert not any(waiting.builds(request) for request in requests), "nothing is built that cannot be kept"
        server.go_on()
        mended = time.monotonic()
        for request in requests:
            assert waiting.ended(request, seconds=40).status == "successful"
            assert len(waiting.builds(request)) == 1
        fault_row("bucket away", "25 s, six baits in line", "6 built, once each", time.monotonic() - mended)


def test_a_bucket_that_is_gone_for_good_fails_the_bait_by_no_fault_of_its_own(
    working: Stack, server: BucketServer
) -> None:
    request = please("sleep", seconds=2)
    working.submit(request)
    eventually(lambda: working.builds(request))
    server.stop()
    state = eventually(
        lambda: (
            (found := working.connection.hget(f"pourwright:bait:local:{request.id}", "state")) != b"running" and found
        ),
        seconds=40,
    )
    assert state in (b"waiting", b"handed"), "it waits, and is not lost"


def test_two_hosts_with_store_and_bucket_alone_in_common_one_cut_off(
    server: BucketServer, tmp_path: Path, fault_row: Tell
) -> None:
    with stack(more=server.environ(server.new_bucket())) as hosts:
        folders = [tmp_path / "east", tmp_path / "west"]
        pools = []
        for folder in folders:
            folder.mkdir()
            pools.append(hosts.start_pool(POURWRIGHT_STATE_DIR=str(folder)))
        requests = [please("sleep", seconds=0.3, n=number) for number in range(30)]
        for request in requests:
            hosts.submit(request)
        notes = [folder / "builds" for folder in folders]
        eventually(lambda: all(note.exists() and len(note.read_text().splitlines()) > 2 for note in notes), 60)
        killed = time.monotonic()
        group = pools[1].pid
        children = Path(f"/proc/{group}/task/{group}/children").read_text().split()
        for pid in [group, *(int(child) for child in children)]:  # each of them leads a group of its own
            os.killpg(os.getpgid(pid), signal.SIGKILL)
        for request in requests:
            view = hosts.ended(request, seconds=60)
            assert view.status == "successful", (view, hosts.log())
        seconds = time.monotonic() - killed
        bucket = hosts.baits._artifacts._bucket  # type: ignore[attr-defined]
        kept = [one.key.rpartition("/")[2] for one in bucket.below("artifacts")]
        assert kept.count("manifest.json") == len(requests)
        # What the dead host had half written is still set aside, one folder a build at the most.
        half = sum(1 for _ in bucket.below("aside"))
        assert len(requests) <= kept.count("bait.stl") <= len(requests) + half and half <= 2
        built = sum(len(note.read_text().splitlines()) for note in notes)
        fault_row("one of two hosts cut off", "SIGKILL to all of it, 30 baits", f"30 built, {built} begun", seconds)
