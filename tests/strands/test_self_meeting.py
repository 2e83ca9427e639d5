"""Strands whose far stretches meet, told by arithmetic: spirals, rings and helices with known gaps."""

from __future__ import annotations

import math

import pytest

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.self_meeting import runs_into_itself
from worker.strands.strand import Strand
from worker.strands.turning import too_tight


def curl(degrees: float, first: float, last: float, climb: float = 0.0, ends: int = 45) -> HermitePath:
    """A spiral from radius `first` to `last`, mm, that climbs by `climb` mm a turn; a knot every `ends` degrees."""
    steps = max(2, math.ceil(degrees / ends))
    step, knots = math.radians(degrees / steps), []
    shrink, rise = (last - first) / math.radians(degrees), climb / (2 * math.pi)
    for number in range(steps + 1):
        turn = number * step
        radius = first + shrink * turn
        along, out = math.sin(turn), math.cos(turn)
        way = (radius * out + shrink * along, radius * along - shrink * out, rise)
        handle = 4 * math.tan(step / 4) * math.hypot(radius, shrink, rise)
        knots.append(Knot((radius * along, -radius * out, rise * turn), way, handle, handle))
    return HermitePath(tuple(knots))


def tail(path: HermitePath, width: float, height: float) -> Strand:
    """A plain strand along it."""
    return Strand("tail", "claw", path, Girth.oval((0.0, width, height), (1.0, width, height)), Plain((0.0, width / 2)))


@pytest.mark.parametrize("degrees", [120, 300, 340])
def test_a_ring_that_does_not_close_does_not_meet(degrees: float) -> None:
    strand = tail(curl(degrees, 8, 8), 3, 2)
    assert runs_into_itself(strand) is None
    assert too_tight(strand) is None


def test_a_ring_of_400_degrees_lies_in_itself() -> None:
    strand = tail(curl(400, 8, 8), 3, 2)
    meeting = runs_into_itself(strand)
    assert meeting is not None
    assert too_tight(strand) is None, "no turn is too tight: only the whole path tells"
    # A whole turn apart: 2 pi 8 mm, within a step.
    assert meeting.other - meeting.station == pytest.approx(2 * math.pi * 8, abs=1.5)


@pytest.mark.parametrize(("width", "meets"), [(2.8, False), (3.8, False), (4.2, True), (6.0, True)])
def test_the_turns_of_a_spiral_meet_where_it_is_wider_than_its_pitch(width: float, meets: bool) -> None:
    # Two turns from 14 to 6 mm: 4 mm from one to the next; 1.03 of the width has to go between.
    meeting = runs_into_itself(tail(curl(720, 14, 6), width, 1.5))
    assert (meeting is not None) == meets
    if meeting is not None:
        assert meeting.needed == pytest.approx(1.03 * width, rel=0.1)
        assert meeting.apart == pytest.approx(4, rel=0.1)


@pytest.mark.parametrize(("diameter", "meets"), [(1.5, False), (1.9, False), (2.1, True)])
def test_the_turns_of_a_helix_meet_where_it_is_thicker_than_its_climb(diameter: float, meets: bool) -> None:
    assert (runs_into_itself(tail(curl(800, 9, 9, climb=2.0), diameter, diameter)) is not None) == meets


def test_a_path_that_crosses_itself() -> None:
    loop = HermitePath(
        (Knot((0, 0, 0), (1, 0, 0), after=60), Knot((10, 0, 0), (1, 0, 0), before=60)),
    )
    crossing = HermitePath((Knot((0, 0, 0), (1, 1, 0), after=120), Knot((5, 0, 0), (1, -1, 0), before=120)))
    assert runs_into_itself(tail(crossing, 2, 2)) is not None
    # There and back along one line.
    assert runs_into_itself(tail(loop, 2, 2)) is not None


def test_thin_strands_that_cross_are_not_stepped_over() -> None:
    crossing = HermitePath((Knot((0, 0, 0), (1, 1, 0), after=200), Knot((5, 0, 0), (1, -1, 0), before=200)))
    for shift in range(8):
        knots = tuple(
            Knot((k.point[0], k.point[1] + shift, 0), k.direction, k.before + shift, k.after) for k in crossing.knots
        )
        assert runs_into_itself(tail(HermitePath(knots), 0.8, 0.8)) is not None


def test_bulges_on_both_sides_of_a_turn_meet_though_the_turn_itself_has_room() -> None:
    hairpin = HermitePath(
        (
            Knot((0, 4, 0), (1, 0, 0), after=20),
            Knot((20, 4, 0), (1, 0, 0), before=20, after=6.6),
            Knot((24, 0, 0), (0, -1, 0), before=6.6, after=6.6),
            Knot((20, -4, 0), (-1, 0, 0), before=6.6, after=20),
            Knot((0, -4, 0), (-1, 0, 0), before=20),
        )
    )
    wide = Girth.oval((0.0, 9.0, 2.0), (0.25, 9.0, 2.0), (0.5, 4.0, 2.0), (0.75, 9.0, 2.0), (1.0, 9.0, 2.0))
    bulging = Strand("tail", "claw", hairpin, wide, Plain((0.0, 0.0)))
    assert too_tight(bulging) is None
    assert runs_into_itself(bulging) is not None


def test_a_straight_strand_never_meets() -> None:
    girth = Girth.circular((0.0, 20.0), (1.0, 20.0))
    assert runs_into_itself(Strand("rod", "trunk", StraightPath(5), girth, Plain((0.0, 0.0)))) is None


@pytest.mark.parametrize(("exponent", "meets"), [(2.0, False), (8.0, True)])
def test_squarer_sections_reach_further_aslant(exponent: float, meets: bool) -> None:
    """A helix whose turns lie aslant of each other's sections: ellipses clear each other where their boxes would not.

    A square of 2 x 2 reaches sqrt(2) along its diagonal, a circle 1; of the exponent 8 the reach is 2^(1/2 - 1/8).
    """
    path = curl(720, 14, 9.2, climb=2.4)
    girth = Girth.circular((0.0, 2.8), (1.0, 2.8))
    strand = Strand("tail", "claw", path, girth, Plain((0.0, 0.0)), section=Section(exponent, exponent))
    assert too_tight(strand) is None
    assert (runs_into_itself(strand) is not None) == meets
