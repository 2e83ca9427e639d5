"""Areas, middles and second moments of sections against the library sectionproperties 3.10.2.

It meshes a polygon of 4000 corners and sums triangles of six nodes; run once, elsewhere, and its figures written here:
it brings a mesher and a plotter along that nothing else of ours needs.
"""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from worker.measures.bending.backbone import Beam, beam_of_trunk
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand

FLAT = Plain((0.0, 0.0))


@pytest.mark.parametrize(
    ("section", "sizes", "area", "middle", "up_down", "sideways"),
    [
        (Section(2.6, 2.2, 3.6), (5.5, 4.5, 4.5), 77.98618, 0.31469, 365.01561, 651.68355),
        (Section(4.0, 1.7), (3.0, 2.5, 1.5), 20.49121, 0.60333, 22.03086, 51.31555),
    ],
)
def test_superellipses(
    section: Section,
    sizes: tuple[float, float, float],
    area: float,
    middle: float,
    up_down: float,
    sideways: float,
) -> None:
    """Half width, back and belly, mm: halves of two exponents, and a belly that is cut level."""
    halves = tuple(np.array([size]) for size in sizes)
    assert section.area(*halves) == pytest.approx(area, rel=1e-4)
    told = [float(each[0]) for each in section.moments(*halves)]
    assert told == pytest.approx([middle, up_down, sideways], rel=5e-4)


def beam(*trunk: Strand, hollows: tuple[Strand, ...] = ()) -> Beam:
    """Sections away from both ends."""
    whole = beam_of_trunk(trunk, 6.0, hollows)
    return whole.only((whole.station > 10) & (whole.station < 30))


def test_an_ellipse_with_a_bore_above_its_middle() -> None:
    """6 x 4 mm, less a round of 2 mm whose middle lies 0.5 mm up."""
    trunk = Strand("trunk", "trunk", StraightPath(40), Girth.oval((0.0, 6.0, 4.0), (1.0, 6.0, 4.0)), FLAT)
    bored = beam(trunk, hollows=(bore(2.0, 2.0, 0.0, 0.5),))
    assert bored.area == pytest.approx(np.full(len(bored.area), 15.70796), rel=0.006)
    assert bored.up_down == pytest.approx(np.full(len(bored.area), 17.12167), rel=0.006)
    assert bored.sideways == pytest.approx(np.full(len(bored.area), 41.62607), rel=0.006)


def bore(width: float, height: float, aside: float, up: float) -> Strand:
    """An elliptic hollow all along a trunk of 40 mm."""
    girth = Girth.oval((0.0, width, height), (1.0, width, height))
    return Strand("bore", "bore", StraightPath(42, (-1.0, aside, up)), girth, FLAT)


def quarters(width: float, height: float) -> tuple[float, float, float]:
    """Area and second moments of an ellipse about its middle: pi a b, pi a b^3 / 4, pi a^3 b / 4 (handbooks)."""
    area = math.pi * width * height / 4
    return area, area * height * height / 16, area * width * width / 16


def test_bores_anywhere_in_an_ellipse() -> None:
    """By parallel axes (Steiner): wide ones and flat ones, in baits of many proportions."""
    drawn, off = random.Random(8), []
    while len(off) < 60:
        size = (width := drawn.uniform(5, 14)), (height := width * drawn.uniform(0.6, 1.2))
        small = [side * drawn.uniform(0.15, 0.5) for side in size]
        aside, up = (drawn.uniform(-0.4, 0.4) * (whole - cut) for whole, cut in zip(size, small, strict=True))
        if ((abs(aside) + small[0] / 2) * 2 / width) ** 2 + ((abs(up) + small[1] / 2) * 2 / height) ** 2 > 1:
            continue
        (area, across, along), (less, less_across, less_along) = quarters(*size), quarters(*small)
        net = area - less
        expected = (
            net,
            across - less_across - less * up * up * area / net,
            along - less_along - less * aside * aside * area / net,
        )
        trunk = Strand("trunk", "trunk", StraightPath(40), Girth.oval((0.0, *size), (1.0, *size)), FLAT)
        told = beam(trunk, hollows=(bore(small[0], small[1], aside, up),))
        means = (float(told.area.mean()), float(told.up_down.mean()), float(told.sideways.mean()))
        off.append([abs(mean / exact - 1) for mean, exact in zip(means, expected, strict=True)])
    assert np.max(off) < 0.02
    assert (np.median(off, axis=0) < 0.004).all()


def test_a_trunk_of_two_rods_side_by_side() -> None:
    """Two rounds of 5 mm whose middles lie 3 mm apart: what lies in both counts once."""
    round_5 = Girth.circular((0.0, 5.0), (1.0, 5.0))
    rods = [
        Strand(name, "trunk", StraightPath(40, (0.0, aside, 0.0)), round_5, FLAT)
        for name, aside in (("left", 1.5), ("right", -1.5))
    ]
    both = beam(*rods)
    assert both.area == pytest.approx(np.full(len(both.area), 33.67871), rel=5e-3)
    assert both.up_down == pytest.approx(np.full(len(both.area), 56.62295), rel=0.01)
    assert both.sideways == pytest.approx(np.full(len(both.area), 148.40003), rel=0.01)
