"""A bait with a tail is as long as was asked, whatever the tail; and its trunk is what the tail leaves."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from tests.property.drawn import Body, for_all, merged
from tests.tails.drawn_tails import TAILS, tailed_bodies, worm, worm_params
from worker.build import build
from worker.estimate import estimate
from worker.measures.strand.extent import extent_of
from worker.request import read_request
from worker.solid.join import joined
from worker.strands.strand import Strand
from worker.styles import STYLES
from worker.styles.tails import trunk_length

COUNTS = {kind: (1,) if kind in ("kick", "fork", "split") else (1, 2, 3) for kind in TAILS}
EVERY = [(kind, lie, count) for kind, lie in itertools.product(TAILS, ("upright", "flat")) for count in COUNTS[kind]]


def _reach(strands: tuple[Strand, ...]) -> float:
    return max(float(extent_of(strand)[1][0]) for strand in strands)


@pytest.mark.parametrize(("kind", "lie", "count"), EVERY)
def test_it_ends_at_the_overall_length(kind: str, lie: str, count: int) -> None:
    asked = {"tail": kind, "tail_lie": lie, "tail_count": count, "tail_length": 35}
    strands = worm("ribbed_worm", length=150, width=12, height=11, **asked)
    assert _reach(strands) == pytest.approx(150, abs=1e-4)
    assert strands[0].path.length == pytest.approx(trunk_length(worm_params(length=150, **asked)), abs=1e-9)
    roots = [strand for strand in strands if strand.root is not None and strand.root.parent == "trunk"]
    assert len(roots) == count


@pytest.mark.parametrize("kind", TAILS)
def test_its_mesh_does_too(kind: str) -> None:
    solid = joined(worm(tail=kind), 0.02)
    assert solid.extent[0] == pytest.approx(127, abs=0.02)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


@pytest.mark.parametrize(("kind", "share"), [("straight", 30), ("spike", 12), ("beaver", 40)])
def test_a_tail_straight_back_takes_its_length_from_the_trunk(kind: str, share: float) -> None:
    assert trunk_length(worm_params(length=120, tail=kind, tail_length=share)) == pytest.approx(120 * (1 - share / 100))


def test_tails_on_both_sides_are_each_other_s_mirror_images() -> None:
    strands = {strand.name: strand for strand in worm(tail="curl", tail_count=2, tail_lie="flat", tail_length=35)}
    left, right = (extent_of(strands[f"{side} tail"]) for side in ("left", "right"))
    assert left[1][1] == pytest.approx(-right[0][1])
    assert left[0][1] == pytest.approx(-right[1][1])
    assert left[1][1] > 10, "the left one curls to the left"


def test_upright_and_flat_are_a_quarter_turn_apart() -> None:
    upright, flat = (worm(tail="curl", tail_lie=lie)[1] for lie in ("upright", "flat"))
    low, high = extent_of(upright)
    assert high[1] - low[1] < 4, "an upright curl is no wider than the flare of its root"
    assert low[2] < -10, "it curls down"
    assert extent_of(flat)[1][1] == pytest.approx(-low[2])


@for_all(tailed_bodies(), quick=8, proof=300)
def test_every_tail_that_is_taken_gives_a_sound_bait(body: Body) -> None:
    request = read_request(body)
    before, built = estimate(request), build(request)
    assert built.metrics["joints"] == before["metrics"]["joints"]
    assert built.metrics["volume_mm3"] == pytest.approx(before["metrics"]["volume_mm3"], rel=0.01)
    for check in before["checks"]:
        for remedy in check["remedies"]:
            mended = estimate(read_request(merged(body, dict(remedy["patch"]))))
            verdicts = {each["check"]: each["verdict"] for each in mended["checks"]}
            assert verdicts[check["check"]] == "pass", (check["check"], remedy)
    assert built.metrics["length_mm"] == pytest.approx(request.params["length"], abs=request.normal["tolerance_mm"])
    assert built.metrics["through_holes"] == 0
    tails = [joint for joint in built.metrics["joints"] if "tail" in joint["strand"]]
    assert tails and all(joint["limit_n"] == 4 for joint in tails)
    assert np.isfinite([joint["pull_n"] for joint in tails]).all()


@pytest.mark.parametrize(
    ("asked", "code", "pointer"),
    [
        ({"tail": "curl", "tail_curl": 400}, "curl-too-tight", "/params/tail_curl"),
        (
            {"tail": "curl", "tail_tip_thickness": 2, "tail_root_thickness": 1.5},
            "tip-too-thick",
            "/params/tail_tip_thickness",
        ),
        ({"tail": "beaver", "tail_width": 3, "tail_wrist": 4}, "wrist-too-wide", "/params/tail_wrist"),
        ({"tail": "beaver", "tail_length": 8, "tail_width": 12}, "tail-too-short", "/params/tail_length"),
        ({"tail": "fork", "tail_count": 2}, "one-tail", "/params/tail_count"),
        (
            {"tail": "beaver", "tail_width": 25, "tail_count": 3, "tail_lie": "flat"},
            "tails-too-wide",
            "/params/tail_count",
        ),
        ({"tail": "spike", "tail_wrist": 9}, "root-too-thick", "/params/tail_wrist"),
        ({"tail": "beaver", "tail_length": 60, "bead_diameter": 20}, "beads-too-close", "/params/bead_count"),
    ],
)
def test_what_cannot_be_is_told(asked: Body, code: str, pointer: str) -> None:
    faults = {fault.code: fault for fault in STYLES["beaded_worm"].infeasible(worm_params(**asked))}
    assert faults[code].pointer == pointer
    assert faults[code].detail.endswith(".")


def test_what_is_allowed_instead_does() -> None:
    asked: Body = {"tail": "curl", "tail_curl": 330}
    (fault,) = STYLES["beaded_worm"].infeasible(worm_params(**asked))
    assert fault.allowed is not None
    most = fault.allowed["maximum"]
    worm(tail="curl", tail_curl=most)
    assert list(STYLES["beaded_worm"].infeasible(worm_params(tail="curl", tail_curl=most + 1)))
    share = int(fault.detail.partition("a tail of ")[2].partition(" %")[0])
    worm(**asked, tail_length=share)
    assert list(STYLES["beaded_worm"].infeasible(worm_params(**asked, tail_length=share - 1)))
