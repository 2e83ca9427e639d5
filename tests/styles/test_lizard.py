"""The lizard: its head, neck and legs by their numbers, and exactly its length with every tail."""

from __future__ import annotations

import numpy as np
import pytest

from tests.styles.limbed import leaves, outer_length, solid_of, strands_of, tip
from worker.strands.vectors import cross

KINDS = ("none", "straight", "spike", "curl", "ribbon", "kick", "beaver", "fork")


@pytest.mark.parametrize("tail", KINDS)
def test_it_is_as_long_as_asked_with_every_tail(tail: str) -> None:
    solid = solid_of("lizard", tail=tail, length=140, tolerance=0.02)
    assert solid.extent[0] == pytest.approx(140, abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


def test_the_tail_is_as_much_of_the_length_as_asked_along_itself() -> None:
    strands = strands_of("lizard", tail="straight", tail_length=40)
    assert strands["trunk"].path.length == pytest.approx(90, abs=0.01)


def test_head_neck_and_body_are_as_wide_as_asked() -> None:
    strands = strands_of("lizard", head_width=15, head_length=22, neck=0.7, body_width=12, body_height=10)
    body = strands["trunk"].body
    head, neck = body.half_sizes(22 * np.arange(101) / 100), body.half_sizes(np.array([1.08 * 22]))
    assert 2 * head[0].max() == pytest.approx(15, abs=1e-3)
    assert (2 * neck[0][0], 2 * neck[1][0]) == pytest.approx((0.7 * 12, 0.7 * 10))
    middle = body.half_sizes(np.array([(0.22 + 0.48) / 2 * 150]))
    assert (2 * middle[0][0], 2 * middle[1][0]) == pytest.approx((12, 10))
    along = body.half_sizes(np.linspace(0.5 * 22, 1.3 * 22, 60))[0]
    assert along.argmin() > 0 and along[-1] > along.min(), "there is a neck"


@pytest.mark.parametrize("knee", [0.0, 60.0, 100.0])
def test_legs_leave_where_asked_as_long_as_asked_and_turn_by_the_knee(knee: float) -> None:
    strands = strands_of("lizard", knee=knee, leg_length=28, front_legs=25, hind_legs=50)
    for name, share in (("left front leg", 0.25), ("left hind leg", 0.5)):
        leg = strands[name]
        assert leaves(leg)[0] == pytest.approx(share * 150, abs=0.3)
        assert outer_length(leg) == pytest.approx(28, abs=0.1)
        _, left, back = leg.path.frames(np.array([0.0, leg.path.length]))
        ways = cross(left, back)
        assert np.degrees(np.arccos(min((ways[0] * ways[1]).sum(), 1.0))) == pytest.approx(knee, abs=1)
        assert 2 * leg.body.half_sizes(np.array([leg.root.leaves if leg.root else 0.0]))[0][0] == pytest.approx(4)


def test_legs_are_swept_back_by_the_sweep() -> None:
    for sweep in (10.0, 40.0):
        leg = strands_of("lizard", knee=0, leg_sweep=sweep)["left hind leg"]
        way = tip(leg) - leaves(leg)
        assert np.degrees(np.arctan2(way[0], way[1])) == pytest.approx(sweep, abs=0.5)


@pytest.mark.parametrize(("foot", "broad"), [("plain", 4.0), ("flapper", 7.0)])
def test_feet(foot: str, broad: float) -> None:
    solid = solid_of("lizard", foot=foot, tolerance=0.05)
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    leg = strands_of("lizard", foot=foot)["left front leg"]
    half_width, half_height = leg.body.half_sizes(leg.path.length * np.arange(301) / 300)
    assert 2 * half_width.max() == pytest.approx(broad, abs=0.02)
    assert 2 * half_height.max() == pytest.approx(4.0)


def test_a_curled_foot_curls() -> None:
    strands = strands_of("lizard", foot="curl", foot_width=5)
    leg = strands["left front leg"]
    _, left, back = leg.path.frames(leg.path.length * np.arange(401) / 400)
    ways = cross(left, back)
    turned = np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))
    assert np.degrees(turned[-1] - turned.min()) == pytest.approx(210, abs=1)


def test_a_lizard_is_dressed_like_any_bait() -> None:
    solid = solid_of("lizard", head="bullet", flat_belly=0.2, eye=3, weight_bore=2.5, tolerance=0.05)
    assert len(solid.parts) == 1
    assert solid.extent[0] == pytest.approx(150, abs=0.05)
    assert solid.volume < solid_of("lizard", tolerance=0.05).volume - 200
