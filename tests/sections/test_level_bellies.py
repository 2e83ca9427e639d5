"""Strands that come to a flat belly along their way: what is built against the area of an ellipse cut by a chord."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from worker.solid.trunk import solid_of
from worker.strands.beads import Beads
from worker.strands.fineness import triangles_of
from worker.strands.girth import Girth, GirthStation
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.section import Section
from worker.strands.strand import Relief, Strand

LENGTH = 60.0
BARE = Plain((0.0, 0.0))


def _cut_ellipse(a: float, b: float, c: float, floor: float) -> float:
    """Upper half pi a b / 2; lower half of reach c down to a chord d c below: a c (d (1 - d^2)^1/2 + asin d).

    The circular segment's area, stretched (plane geometry).
    """
    d = min(floor / c, 1.0)
    return float(np.pi / 2 * a * b + a * c * (d * np.sqrt(1 - d * d) + np.arcsin(d)))


def _rod(first: tuple[float, float], last: tuple[float, float], floor: float, relief: Relief = BARE) -> Strand:
    girth = Girth.oval((0.0, *first), (1.0, *last))
    return Strand("trunk", "trunk", StraightPath(LENGTH), girth, relief, section=Section(floor=floor))


def _integral(first: tuple[float, float], last: tuple[float, float], floor: float, low: float, high: float) -> float:
    def area(x: float) -> float:
        width, height = (b + (e - b) * x / LENGTH for b, e in zip(first, last, strict=True))
        return _cut_ellipse(width / 2, height / 2, height / 2, floor)

    return float(integrate.quad(area, low, high, limit=500, epsabs=1e-7)[0])


@pytest.mark.parametrize(
    ("first", "last", "floor"),
    [
        ((8.0, 6.0), (14.0, 12.0), 4.0),
        ((14.0, 12.0), (8.0, 6.0), 4.0),
        ((14.0, 6.0), (14.0, 12.0), 3.5),
        ((4.0, 4.0), (14.0, 14.0), 2.2),
        ((20.0, 10.0), (22.0, 6.0), 4.9),
        ((8.0, 9.0), (14.0, 12.0), 4.0),
    ],
)
def test_a_tapering_rod_comes_to_its_floor(first: tuple[float, float], last: tuple[float, float], floor: float) -> None:
    """Within 0.1 % of its volume, and so is each third of its length to 0.2 %."""
    solid = solid_of(_rod(first, last, floor), 0.05)
    assert solid.volume == pytest.approx(_integral(first, last, floor, 0.0, LENGTH), rel=1e-3)
    assert solid.vertices[:, 2].min() == pytest.approx(-floor, abs=1e-5)
    rest = solid.body
    for low, high in ((0.0, 20.0), (20.0, 40.0)):
        rest, part = rest.split_by_plane((1.0, 0.0, 0.0), high)
        assert part.volume() == pytest.approx(_integral(first, last, floor, low, high), rel=2e-3)


@settings(max_examples=25, derandomize=True, deadline=None, database=None)
@given(*[st.floats(4.0, 20.0)] * 4, st.floats(0.3, 1.1))
def test_any_tapering_rod(w0: float, h0: float, w1: float, h1: float, share: float) -> None:
    """The estimate's integral is the closed form's to 1e-6, and the solid follows."""
    first, last, floor = (w0, h0), (w1, h1), share * max(h0, h1) / 2
    rod, exact = _rod(first, last, floor), _integral((w0, h0), (w1, h1), floor, 0.0, LENGTH)
    grid = rod.body.grid()
    assert float((grid.weight * rod.body.area(grid.station)).sum()) == pytest.approx(exact, rel=1e-6)
    solid = solid_of(rod, 0.05)
    assert solid.volume == pytest.approx(exact, rel=1e-3)
    assert triangles_of((rod,), 0.05) == pytest.approx(len(solid.triangles), rel=0.2)


def _summed(strand: Strand) -> float:
    """The same area over the heights of the strand's outlines, by the midpoint rule."""
    x = (np.arange(200_000) + 0.5) * LENGTH / 200_000
    a, b, c = strand.body.sizes(x)
    d = np.minimum(strand.section.floor / np.maximum(c, 1e-9), 1.0)
    area = np.pi / 2 * a * b + a * c * (d * np.sqrt(1 - d * d) + np.arcsin(d))
    return float(area.mean() * LENGTH)


@pytest.mark.parametrize(
    "relief",
    [
        Ribs(11, 4.0, 0.9, 1.2, 0.3, 6.0, (3.0, 3.0)),
        Ribs(5, 8.0, 1.5, 3.0, 0.3, 8.0, (0.0, 0.0)),
        Beads(9, 1.0, 0.9, 0.3),
        Beads(7, 1.0, 1.0, 0.5),
    ],
)
@pytest.mark.parametrize("floor", [3.0, 3.7, 4.4])
def test_trunks_with_relief_over_a_floor(relief: Relief, floor: float) -> None:
    strand = _rod((8.0, 7.0), (11.0, 10.0), floor, relief)
    assert solid_of(strand, 0.05).volume == pytest.approx(_summed(strand), rel=1e-3)


def test_a_belly_that_swells_over_its_floor_and_back() -> None:
    """A cubic that passes the floor twice, and its edges there by bisection."""
    stations = [GirthStation(at, 12.0, 4.0, c) for at, c in ((0.0, 2.0), (0.3, 5.0), (0.5, 5.5), (1.0, 2.5))]
    girth = Girth(tuple(stations))
    strand = Strand("trunk", "trunk", StraightPath(LENGTH), girth, BARE, section=Section(floor=4.0))
    edges = strand.body.level_edges
    assert len(edges) == 2
    assert strand.body.sizes(edges)[2] == pytest.approx([4.0, 4.0], abs=1e-7)
    assert solid_of(strand, 0.05).volume == pytest.approx(_summed(strand), rel=1e-3)
