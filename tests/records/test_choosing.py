"""Which lane gets a place: the rules of the feeder, without a store."""

from __future__ import annotations

from collections import Counter

import pytest

from worker.records.feeder import choose_lane, lane_order
from worker.records.names import LANES

NONE = {"single": 0, "batch": 0, "fit": 0}
ALL = frozenset(LANES)


def test_nothing_waiting_gets_nothing() -> None:
    assert choose_lane(frozenset(), NONE, workers=2, place=0) is None


@pytest.mark.parametrize("workers", [1, 2, 5])
def test_at_most_twice_the_workers_are_in_flight(workers: int) -> None:
    flying = NONE | {"single": 2 * workers - 1}
    assert choose_lane({"single"}, flying, workers, place=0) == "single"
    assert choose_lane({"single"}, flying | {"single": 2 * workers}, workers, place=0) is None


@pytest.mark.parametrize("lane", ["batch", "fit"])
@pytest.mark.parametrize("workers", [2, 3, 8])
def test_lower_lanes_never_hold_the_last_worker(lane: str, workers: int) -> None:
    assert choose_lane({lane}, NONE | {lane: workers - 2}, workers, place=0) == lane
    assert choose_lane({lane}, NONE | {lane: workers - 1}, workers, place=0) is None
    mixed = NONE | {"batch": workers - 1}
    assert choose_lane({"fit", "single"}, mixed, workers, place=3) == "single"


def test_one_worker_alone_serves_lower_lanes_too() -> None:
    assert choose_lane({"batch"}, NONE, workers=1, place=0) == "batch"
    # one at a time: a single bait then waits for that one alone
    assert choose_lane({"batch"}, NONE | {"batch": 1}, workers=1, place=0) is None
    assert choose_lane({"batch", "single"}, NONE | {"batch": 1}, workers=1, place=3) == "single"


def test_single_goes_first_and_every_fourth_place_to_the_lower_lanes() -> None:
    got = [choose_lane({"single", "batch"}, NONE, workers=4, place=place) for place in range(8)]
    assert got == ["single", "single", "single", "batch"] * 2


def test_batch_goes_before_fit_and_every_fourth_lower_place_to_fit() -> None:
    lower = [choose_lane(ALL, NONE, workers=4, place=place) for place in range(3, 64, 4)]
    assert lower == ["batch", "batch", "batch", "fit"] * 4


def test_no_lane_starves_when_all_are_full() -> None:
    got = Counter(choose_lane(ALL, NONE, workers=4, place=place) for place in range(1600))
    assert got == {"single": 1200, "batch": 300, "fit": 100}


@pytest.mark.parametrize("place", range(20))
def test_each_place_knows_every_lane(place: int) -> None:
    assert sorted(lane_order(LANES, place)) == sorted(LANES)
