"""A bait that is asked for stays, even where it is asked for in the moment of its removal."""

from __future__ import annotations

import os
import threading
import time
from pathlib import Path

import pytest

from tests.records.shelf import BAIT, DAY, REQUEST, Shelf, bait, open_baits
from tests.stack import Stack, eventually
from worker.records import artifacts


@pytest.mark.parametrize("ask", ["view", "submit", "both in memory"])
def test_a_bait_that_is_asked_for_is_not_swept(records: Stack, ask: str) -> None:
    shelf, baits = open_baits(records)
    shelf.put(BAIT, 31 * DAY)
    if ask == "both in memory":  # a process that has it in memory since long ago notes a use all the same
        assert baits.view("local", BAIT.id) is not None
        kept = baits._manifests._kept[BAIT]
        baits._manifests._kept[BAIT] = (*kept[:2], kept[2] - 301)
        os.utime(shelf.place(BAIT), (0, 0))
    if ask == "submit":
        assert baits.submit("local", REQUEST).created is False
    else:
        assert baits.view("local", BAIT.id) is not None
    assert shelf.retention().sweep() == []
    assert shelf.here(BAIT) == [True]


def test_one_that_is_asked_for_between_look_and_removal_stays(shelf: Shelf) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept = shelf.kept(bait(1))
    assert shelf.artifacts.note_use(bait(1))
    assert shelf.artifacts.delete_unused(kept) is False
    assert shelf.here(bait(1)) == [True]


def test_one_that_is_asked_for_in_the_very_moment_is_put_back(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept, rename = shelf.kept(bait(1)), os.rename
    with monkeypatch.context() as patched:
        patched.setattr(os, "rename", lambda old, new: (shelf.artifacts.note_use(bait(1)), rename(old, new)))
        assert shelf.artifacts.delete_unused(kept) is False
    assert shelf.here(bait(1)) == [True]
    assert os.listdir(shelf.folder / "artifacts" / ".aside") == []


def test_one_that_a_sweep_is_about_to_put_back_is_removed_all_the_same(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.put(bait(1), 31 * DAY)
    kept, rename, removed = shelf.kept(bait(1)), os.rename, list[bool]()

    def rename_slowly(old: Path, new: Path) -> None:
        if ".aside" in str(old):  # on its way back, since it was asked for in the very moment
            caller.start()
            time.sleep(0.005)
        rename(old, new)

    caller = threading.Thread(target=lambda: removed.append(shelf.artifacts.delete(bait(1))))
    monkeypatch.setattr(os, "rename", rename_slowly)
    monkeypatch.setattr(artifacts, "BLINK_S", 0.2)
    really = shelf.artifacts._move_aside
    monkeypatch.setattr(
        shelf.artifacts, "_move_aside", lambda name: (moved := really(name), os.utime(moved, (0, 0)))[0]
    )
    assert shelf.artifacts.delete_unused(kept) is False
    caller.join()
    assert removed == [True] and shelf.here(bait(1)) == [False]


def test_a_use_that_was_noted_is_never_followed_by_a_removal(shelf: Shelf) -> None:
    name, stop = bait(1), threading.Event()
    shelf.now = time.time()  # the readers' clock, by which uses are noted
    old = int((shelf.now - DAY) * 1e9)

    def sweep() -> None:
        while not stop.is_set():
            for kept in shelf.artifacts.kept_in(f"{name.caller}/{name.id[:2]}"):
                if kept.used < old:
                    shelf.artifacts.delete_unused(kept)

    sweepers = [threading.Thread(target=sweep) for _ in range(2)]
    for sweeper in sweepers:
        sweeper.start()
    noted = gone = 0
    until = time.monotonic() + 3
    try:
        while time.monotonic() < until:
            shelf.put(name, 31 * DAY)
            if shelf.artifacts.note_use(name):
                noted += 1
                eventually(lambda: shelf.artifacts.delete(name), seconds=5)  # for a blink it may be on its way back
            else:
                gone += 1
    finally:
        stop.set()
        for sweeper in sweepers:
            sweeper.join()
    assert noted


def test_without_the_right_to_write_a_use_goes_unnoted_and_the_answer_comes(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelf.put(bait(1), 0)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "utime", refuse)
    assert shelf.artifacts.note_use(bait(1)) is True
