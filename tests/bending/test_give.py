"""Tip give by the unit load: straight bars' exact forms, an arc's, and a tail on a trunk.

P = 0.02 N, E = 0.3 MPa, L = 20 mm: NPTEL's worked example and Roark's table 8.1 (see tests/outside). A quarter of a
circle of radius R held at one end: in its plane P R^3 / EI times pi / 4 across its tip and 3 pi / 4 - 2 along it
(Timoshenko, Strength of Materials, curved bars by Castigliano's theorem), square to its plane P R^3 (pi / 4 EI +
(3 pi / 4 - 2) / GJ) (from memory, all by the integrals of (R sin)^2 and of (R (1 - cos))^2 over the arc).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from tests.outside.made import plain
from worker.checks.subject import Subject
from worker.measures.bending.backbone import beam_of_strand, beam_of_trunk
from worker.measures.bending.give import SIDE, UP_DOWN, tip_give_over
from worker.request import read_request
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand

FORCE, MODULUS, LENGTH = 0.02, 0.3, 20.0


def _deflection(strand: Strand, force: np.ndarray[Any, Any] = UP_DOWN) -> float:
    tip = strand.path.frames(np.array([strand.path.length]))[0][0]
    return FORCE / MODULUS * tip_give_over([beam_of_strand(strand, 0.0)], tip, force)


def test_a_uniform_bar_both_ways() -> None:
    """PL^3 / 3EI = 2.794490 mm, d = 6."""
    bar = plain(20, (0.0, 6.0), (1.0, 6.0), ends=(0, 0)).strand
    assert _deflection(bar) == pytest.approx(2.794490, rel=1e-6)
    assert _deflection(bar, SIDE) == pytest.approx(2.794490, rel=1e-6)


def test_a_tapered_bar() -> None:
    """6 to 3 mm: 64 P L^3 / (3 pi E d_tip d_root^3) = 5.588980 mm."""
    assert _deflection(plain(20, (0.0, 6.0), (1.0, 3.0), ends=(0, 0)).strand) == pytest.approx(5.588980, rel=1e-6)


def test_a_flat_bar_gives_more_across_its_flat() -> None:
    """Ellipse 8 x 4: I 25.132741 and 100.530965 mm4."""
    strand = Strand("trunk", "trunk", StraightPath(20), Girth.oval((0.0, 8.0, 4.0), (1.0, 8.0, 4.0)), Plain((0.0, 0.0)))
    assert _deflection(strand) == pytest.approx(FORCE * 8000 / (3 * MODULUS * 25.132741), rel=1e-6)
    assert _deflection(strand, SIDE) == pytest.approx(FORCE * 8000 / (3 * MODULUS * 100.530965), rel=1e-6)


def _arc(radius: float) -> Strand:
    """A quarter turn to the left in the plane of the bait, as fine as 9 knots make it."""
    turns = [math.pi / 16 * step for step in range(9)]
    knots = tuple(
        Knot((radius * math.sin(t), radius * (1 - math.cos(t)), 0.0), (math.cos(t), math.sin(t), 0.0)) for t in turns
    )
    return Strand("tail", "tail", HermitePath(knots), Girth.circular((0.0, 3.0), (1.0, 3.0)), Plain((0.0, 0.0)))


def test_a_quarter_of_a_circle() -> None:
    arc, radius = _arc(20.0), 20.0
    second = math.pi / 64 * 81
    assert arc.path.length == pytest.approx(math.pi / 2 * radius, rel=1e-4)
    whole = FORCE / MODULUS * radius**3 / second
    # It ends to the left: a force ahead is across its tip, one to the side along it.
    assert _deflection(arc, np.array([1.0, 0.0, 0.0])) == pytest.approx(whole * math.pi / 4, rel=2e-3)
    assert _deflection(arc, SIDE) == pytest.approx(whole * (3 * math.pi / 4 - 2), rel=2e-3)
    twist = (3 * math.pi / 4 - 2) * 3 / (2 * second)
    out = FORCE / MODULUS * radius**3 * (math.pi / 4 / second + twist)
    assert _deflection(arc, UP_DOWN) == pytest.approx(out, rel=2e-3)


def test_the_forms_of_the_arc_are_the_integrals() -> None:
    bending, twisting = (
        quad(f, 0, math.pi / 2)[0] for f in (lambda t: math.sin(t) ** 2, lambda t: (1 - math.cos(t)) ** 2)
    )
    assert bending == pytest.approx(math.pi / 4)
    assert twisting == pytest.approx(3 * math.pi / 4 - 2)


def test_a_bore_leaves_a_ring() -> None:
    """Annulus 6 / 3: area 21.205750, I 59.641173 mm4."""
    trunk = plain(40, (0.0, 6.0), (1.0, 6.0), ends=(0, 0)).strand
    bore = Strand(
        "bore", "bore", StraightPath(42, (-1.0, 0.0, 0.0)), Girth.circular((0.0, 3.0), (1.0, 3.0)), Plain((0.0, 0.0))
    )
    beam = beam_of_trunk([trunk], 6.0, [bore])
    assert beam.area == pytest.approx(np.full(len(beam.area), 21.205750), rel=0.02)
    assert beam.up_down == pytest.approx(np.full(len(beam.area), 59.641173), rel=0.01)
    assert beam.sideways == pytest.approx(np.full(len(beam.area), 59.641173), rel=0.01)


def test_a_thin_wall_by_its_ring() -> None:
    """Annulus 20 / 17: pi (D^4 - d^4) / 64."""
    trunk = plain(40, (0.0, 20.0), (1.0, 20.0), ends=(0, 0)).strand
    bore = Strand(
        "inside",
        "inside",
        StraightPath(42, (-1.0, 0.0, 0.0)),
        Girth.circular((0.0, 17.0), (1.0, 17.0)),
        Plain((0.0, 0.0)),
    )
    beam = beam_of_trunk([trunk], 6.0, [bore])
    assert beam.up_down == pytest.approx(np.full(len(beam.area), math.pi / 64 * (20**4 - 17**4)), rel=0.05)
    assert beam.area == pytest.approx(np.full(len(beam.area), math.pi / 4 * (400 - 289)), rel=0.05)


def test_a_slot_takes_from_one_side() -> None:
    """A slot 2 wide from the middle up to the back of a square bar 10 x 10: rectangles less a rectangle (exact)."""
    request = read_request(
        {
            "strands": [
                {
                    "name": "bar",
                    "kind": "trunk",
                    "path": {"length": 60},
                    "girth": [{"at": 0, "width": 10}],
                    "section": {"upper": 8, "lower": 8},
                    "ends": {"root": "flat", "tip": "flat"},
                }
            ],
            "hollows": [
                {
                    "kind": "slot",
                    "strand": "bar",
                    "from": 0.3,
                    "to": 0.7,
                    "side": "back",
                    "width": 2,
                    "depth": 5,
                }
            ],
        }
    )
    subject = Subject(request)
    beam = beam_of_trunk(subject.trunk_strands, 6.0, subject.hollows)
    inside = (beam.station > 22) & (beam.station < 38)
    outside = (beam.station > 45) | (beam.station < 14)
    whole = beam.area[outside][0], beam.up_down[outside][0], beam.sideways[outside][0]
    area = whole[0] - 10
    lift = -10 * 2.5 / area
    up_down = whole[1] - (2 * 5**3 / 12 + 10 * 2.5**2) - area * lift**2
    sideways = whole[2] - 5 * 2**3 / 12
    assert beam.area[inside].mean() == pytest.approx(area, rel=0.02)
    assert beam.up_down[inside].mean() == pytest.approx(up_down, rel=0.03)
    assert beam.sideways[inside].mean() == pytest.approx(sideways, rel=0.02)


def test_beams_follow_each_other() -> None:
    """One bar in two parts gives as the whole."""
    bar = plain(20, (0.0, 6.0), (1.0, 6.0), ends=(0, 0)).strand
    beam, tip = beam_of_strand(bar, 0.0), np.array([20.0, 0.0, 0.0])
    first, second = beam.only(beam.station < 10), beam.only(beam.station >= 10)
    assert tip_give_over([second, first], tip, SIDE) == pytest.approx(tip_give_over([beam], tip, SIDE))
