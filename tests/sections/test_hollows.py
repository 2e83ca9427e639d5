"""Hollows in solids and in figures against closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from worker.measures.strand.hollows import net_share, taken_out
from worker.measures.strand.size import volume_of
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.girth import Girth, GirthStation
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.section import Section
from worker.strands.strand import Strand

ROD = Strand("trunk", "trunk", StraightPath(50.0), Girth.circular((0.0, 12.0), (1.0, 12.0)), Plain((0.0, 0.0)))
FINE = 0.005


def bore(radius: float, length: float, begin: float = -1.0, aside: float = 0.0) -> Strand:
    girth = Girth.circular((0.0, 2 * radius), (1.0, 2 * radius))
    return Strand("bore", "bore", StraightPath(length, (begin, aside, 0.0)), girth, Plain((0.0, 0.0)))


def ball(radius: float, x: float, y: float) -> Strand:
    girth = Girth.circular((0.0, 2 * radius), (1.0, 2 * radius))
    path = StraightPath(2 * radius, (x - radius, y, 0.0))
    return Strand("socket", "socket", path, girth, Plain((radius, radius)))


def volumes(hollows: list[Strand], strand: Strand = ROD) -> tuple[float, float, Solid]:
    """What is left by arithmetic and by mesh."""
    solid = joined([strand], FINE, hollows)
    return volume_of(strand) - taken_out(hollows, [strand])[0], solid.volume, solid


def test_a_bore_from_the_nose() -> None:
    """A cylinder less a cylinder; its first millimetre lies outside."""
    told, built, solid = volumes([bore(1.5, 21.0)])
    exact = math.pi * (36 * 50 - 2.25 * 20)
    assert built == pytest.approx(exact, rel=1e-5)
    assert told == pytest.approx(exact, rel=2e-3)
    assert len(solid.parts) == 1
    assert solid.surface == pytest.approx(2 * math.pi * (36 + 6 * 50 + 1.5 * 20), rel=1e-3)


def test_a_bore_right_through_is_a_through_hole() -> None:
    _, built, solid = volumes([bore(2.0, 52.0)])
    assert built == pytest.approx(math.pi * 32 * 50, rel=1e-5)
    assert solid.through_holes == 1


def test_a_closed_pocket_and_a_bore_into_it_count_once() -> None:
    """A ball of 4 mm in a rod, met by a bore to its middle: the cylinder less the cap that lies in the ball."""
    told, built, _ = volumes([ball(4.0, 20.0, 0.0), bore(1.5, 21.0)])
    in_ball = math.sqrt(16 - 2.25)
    cap = math.pi * (4 - in_ball) ** 2 * (12 - (4 - in_ball)) / 3
    exact = math.pi * 36 * 50 - 4 / 3 * math.pi * 64 - math.pi * 2.25 * (20 - in_ball) + cap
    assert built == pytest.approx(exact, rel=1e-4)
    assert told == pytest.approx(exact, rel=3e-3)


def test_an_eye_socket_on_a_ball() -> None:
    """The lens of two spheres: pi (R+r-d)^2 (d^2 + 2d(r+R) - 3(r-R)^2) / 12d (Weisstein, from memory)."""
    head, eye, apart = 8.0, 3.0, 7.5
    lens = math.pi * (head + eye - apart) ** 2 * (apart**2 + 2 * apart * (eye + head) - 3 * (eye - head) ** 2)
    exact = 4 / 3 * math.pi * head**3 - lens / (12 * apart)
    told, built, _ = volumes([ball(eye, 0.0, apart)], ball(head, 0.0, 0.0))
    assert built == pytest.approx(exact, rel=1e-4)
    assert told == pytest.approx(exact, rel=2e-3)


def test_a_slot_across_leaves_two_pieces() -> None:
    girth = Girth((GirthStation(0.0, 2.0, 20.0, 20.0), GirthStation(1.0, 2.0, 20.0, 20.0)))
    path = StraightPath(30.0, (25.0, -15.0, 0.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    slot = Strand("slot", "slot", path, girth, Plain((0.0, 0.0)), section=Section(8.0, 8.0))
    _, _, solid = volumes([slot])
    assert len(solid.parts) == 2


def test_a_joint_is_left_what_no_hollow_takes() -> None:
    share = net_share(ROD, np.array([10.0, 30.0]), [bore(3.0, 21.0)])
    assert share == pytest.approx([1 - 9 / 36, 1.0], abs=0.004)


def test_an_uneven_section_on_an_arc_by_pappus() -> None:
    """A half disk swept around a quarter of a circle by its flat side: its centroid lies 4r / 3 pi further out."""
    radius, turn = 3.0, 20.0
    # A quarter circle by three curves is exact to 2e-5 of its radius.
    angles = [math.pi / 6 * step for step in range(4)]
    tangent = 4 * math.tan(math.pi / 24) * turn
    knots = tuple(
        Knot((turn * math.sin(a), 0.0, turn * math.cos(a)), (math.cos(a), 0.0, -math.sin(a)), tangent, tangent)
        for a in angles
    )
    girth = Girth.circular((0.0, 2 * radius), (1.0, 2 * radius))
    strand = Strand("trunk", "trunk", HermitePath(knots), girth, Plain((0.0, 0.0)), section=Section(floor=0.01))
    area = math.pi * radius**2 / 2 + 0.01 * 2 * radius
    height = (2 * radius**3 / 3 - 0.01**2 * radius) / area
    exact = area * (turn + height) * math.pi / 2
    assert volume_of(strand) == pytest.approx(exact, rel=2e-4)
    assert joined([strand], FINE).volume == pytest.approx(exact, rel=5e-4)


@pytest.mark.parametrize("cover", ["back", "belly", "sides", "all"])
def test_relief_stays_on_what_it_covers(cover: str) -> None:
    """Ribs cut the outlines that they cover and leave the others as the girth has them."""
    girth = Girth((GirthStation(0.0, 12.0, 7.0, 5.0), GirthStation(1.0, 12.0, 7.0, 5.0)))
    ribs = Ribs(5, 4.0, 0.8, 1.0, 0.3, 12.0, (3.0, 3.0))
    strand = Strand("trunk", "trunk", StraightPath(50.0), girth, ribs, cover=cover)  # type: ignore[arg-type]
    at = strand.body.relief.gaps.station
    cut = np.array([6.0, 7.0, 5.0])[:, None] - np.stack(strand.body.sizes(at + 1e-6))
    for number, name in enumerate(("sides", "back", "belly")):
        assert cut[number].max() == pytest.approx(0.8 if cover in (name, "all") else 0.0, abs=0.01)
    solid = joined([strand], 0.02)
    assert solid.volume == pytest.approx(volume_of(strand), rel=1e-4)
    assert len(solid.parts) == 1
