"""Gates against plane geometry: spheres, bars and rods whose sections and chords are known.

Least side 3 mm, 30 to 60 % of what is fed: common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from worker.mould.columns import columns_of
from worker.mould.layout import GATE_LEAN, Gate, gate_of
from worker.mould.thickness import Feed, feed_of, thickness_of

CELL = 0.12


def fed(mesh: trimesh.Trimesh, gate_at: str = "thickest", share: float = 0.45) -> Feed:
    thickness = thickness_of(columns_of(np.asarray(mesh.vertices), np.asarray(mesh.faces), CELL))
    return feed_of(thickness, gate_at, 2.0, share, ("left", "right"))


def bar(long: float, wide: float, thick: float) -> trimesh.Trimesh:
    return trimesh.creation.box((long, wide, thick))


def mean_width(gate: Gate) -> float:
    return gate.width - GATE_LEAN * gate.depth / 2


def test_a_sphere_offers_the_chord_along_which_it_is_deep_enough() -> None:
    """At x off its middle a sphere is 2 sqrt(R^2 - x^2) thick: at least 0.6 of 2 R over 2 R sqrt(1 - 0.36) = 1.6 R."""
    feed = fed(trimesh.creation.icosphere(6, 20.0))
    assert feed.along == pytest.approx(1.6 * 20, abs=8 * CELL)
    assert feed.area == pytest.approx(math.pi * 400, rel=0.01)
    gate = gate_of(feed, 0.45, 40.0)
    # pi R^2 over 2 R is the width of a gate that has its share of the thickness: 1.571 R, within the chord.
    assert mean_width(gate) == pytest.approx(math.pi * 20 / 2, rel=0.02)
    assert (gate.of_thickness, gate.of_area) == pytest.approx((0.45, 0.45))


def test_a_deep_bar_is_fed_thick_before_it_is_fed_wide() -> None:
    """A bar 40 mm high and 20 wide: 0.45 of its section of 800 mm2, at 0.45 of its 20 mm, would be a gate 40 wide. A
    sprue of 20 mm feeds no more than 20 of them; at 0.6 of the thickness, 12 mm, those are 240 mm2 or 30 %.
    """
    feed = fed(bar(120, 20, 40))
    assert (feed.thickness, feed.area) == pytest.approx((20, 800), rel=0.02)
    gate = gate_of(feed, 0.45, 20.0)
    assert gate.depth == pytest.approx(12, rel=0.02)
    assert mean_width(gate) == pytest.approx(20, rel=0.02)
    assert gate.of_area == pytest.approx(0.3, rel=0.03)


def test_a_flat_bar_is_fed_wider_than_its_sprue_where_30_percent_ask_for_it() -> None:
    """30 mm wide and 8 thick: 0.3 of 240 mm2 through a gate of 0.6 times 8 mm is 15 mm wide; the sprue has 8."""
    feed = fed(bar(80, 30, 8))
    assert (feed.thickness, feed.area) == pytest.approx((8, 240), rel=0.02)
    gate = gate_of(feed, 0.45, 8.0)
    assert (gate.depth, mean_width(gate)) == pytest.approx((4.8, 15.0), rel=0.02)
    assert gate.of_area == pytest.approx(0.3)


def test_a_short_side_offers_its_own_length_and_no_more() -> None:
    """A plate 10 mm long, 40 wide and 8 thick: fed over all of its 10 mm its gate has 4.8 x 10 of 320 mm2, 15 %."""
    feed = fed(bar(10, 40, 8))
    assert feed.along == pytest.approx(10, abs=8 * CELL)
    gate = gate_of(feed, 0.45, 30.0)
    assert mean_width(gate) == pytest.approx(feed.along)
    assert gate.of_area == pytest.approx(4.8 * 10 / 320, rel=0.1)


def test_no_gate_is_where_a_thin_part_begins() -> None:
    """A grip of 30 mm on a gauge a quarter as thick: half of a gate 8 mm wide keeps off the step between them."""
    grip = bar(30, 16, 8)
    gauge = bar(100, 16, 2)
    gauge.apply_translation((60, 0, 0))
    feed = fed(trimesh.boolean.union([grip, gauge], engine="manifold"))
    assert feed.thickness == pytest.approx(8, rel=0.02)
    assert abs(feed.x) <= 15 - 4 + 3 * CELL
