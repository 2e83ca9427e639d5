"""Hollows against exact volumes, and paths beside paths."""

from __future__ import annotations

import math

import numpy as np
import pytest

from worker.measures.strand.extent import extent_of
from worker.measures.strand.hollows import taken_out
from worker.solid.join import joined
from worker.solid.trunk import solid_of
from worker.strands.attach import outside
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.vectors import norm
from worker.styles.beside import beside
from worker.styles.bores import Bore
from worker.styles.eyes import SEAT, Eye
from worker.styles.slots import Slot

LONG, WIDE = 80.0, 14.0


def trunk(path: Path | None = None, width: float = WIDE, height: float = WIDE) -> Strand:
    """A plain trunk, flat at both ends."""
    girth = Girth.oval((0.0, width, height), (1.0, width, height))
    return Strand("trunk", "trunk", path or StraightPath(LONG), girth, Plain((0.0, 0.0)))


def left(bait: Strand, *hollows: Strand, tolerance: float = 0.005) -> float:
    """Volume that the hollows take away, by the solid."""
    whole, rest = joined([bait], tolerance), joined([bait], tolerance, hollows)
    assert len(rest.parts) == 1
    return whole.volume - rest.volume


def quarter(radius: float) -> HermitePath:
    """A quarter of a circle, bent to the belly as an arched bait is."""
    step = math.radians(30)
    handle = 4 * math.tan(step / 4) * radius
    knots = []
    for number in range(4):
        turn = number * step
        point = (radius * math.sin(turn), 0.0, radius * math.cos(turn) - radius)
        knots.append(Knot(point, (math.cos(turn), 0.0, -math.sin(turn)), handle, handle))
    return HermitePath(tuple(knots))


@pytest.mark.parametrize("from_nose", [True, False])
def test_a_bore_is_a_cylinder_with_a_round_end(from_nose: bool) -> None:
    bore = Bore("weight bore", "bore", "weight_bore", 3.0, 15.0, from_nose)
    exact = math.pi * 1.5**2 * 13.5 + 2 / 3 * math.pi * 1.5**3
    bait = trunk()
    hollow = bore.strand(bait)
    assert left(bait, hollow) == pytest.approx(exact, rel=1e-4)
    assert taken_out((hollow,), (bait,))[0] == pytest.approx(exact, rel=0.03)
    rest = joined([bait], 0.02, [hollow])
    # From the end that it opens to; the other end is a flat face with a corner on the axis too.
    away = rest.vertices[:, 0] if from_nose else LONG - rest.vertices[:, 0]
    in_bore = (np.hypot(rest.vertices[:, 1], rest.vertices[:, 2]) < 1.4) & (away < 70)
    assert away[in_bore].max() == pytest.approx(15, abs=0.02)


def test_a_bore_follows_an_arched_trunk() -> None:
    # Pappus: along the trunk's own path the bore is as long as along a straight one.
    bait = trunk(quarter(50.0))
    bore = Bore("jig bore", "bore", "jig_bore", 2.0, 40.0, True)
    exact = math.pi * 39 + 2 / 3 * math.pi
    assert left(bait, bore.strand(bait)) == pytest.approx(exact, rel=1e-3)


@pytest.mark.parametrize("on_back", [True, False])
def test_a_slot_is_a_plate_with_a_round_bottom_and_round_ends(on_back: bool) -> None:
    """Per length: a half circle below, upright sides above, and the trunk's own round as a roof."""
    slot = Slot(on_back, 2.0, 20.0, 50.0, 0.4)
    bait = trunk()
    # The bottom lies 7 - 0.4 * 14 = 1.4 mm above the middle; at y the surface lies at sqrt(49 - y^2).
    y = np.linspace(-1, 1, 200001)
    depth = np.sqrt(49 - y * y) - (2.4 - np.sqrt(np.maximum(1 - y * y, 0)))
    # The ends are half circles seen from above: at y the slot is 28 + 2 sqrt(1 - y^2) long.
    exact = float(np.trapezoid(depth * (28 + 2 * np.sqrt(np.maximum(1 - y * y, 0))), y))
    hollow = slot.strand(bait)
    # The sides lean in by a hundredth at the surface.
    assert left(bait, hollow) == pytest.approx(exact, rel=1e-3)
    assert taken_out((hollow,), (bait,))[0] == pytest.approx(exact, rel=0.03)
    vertices = joined([bait], 0.02, [hollow]).vertices
    inside = vertices[(np.abs(vertices[:, 1]) < 0.3) & (np.abs(vertices[:, 0] - 35) < 16)][:, 2]
    assert np.abs(inside[np.abs(inside) < 6]).min() == pytest.approx(1.4, abs=0.03)


def test_a_slot_keeps_its_depth_along_an_arched_trunk() -> None:
    bait = trunk(quarter(60.0))
    slot = Slot(True, 2.0, 20.0, 60.0, 0.4)
    solid = joined([bait], 0.02, [slot.strand(bait)])
    # The arch is a circle about (0, 0, -60): the bottom lies 1.4 mm outside of the path's radius all along.
    radius = np.hypot(solid.vertices[:, 0], solid.vertices[:, 2] + 60)
    turned = np.arctan2(solid.vertices[:, 0], solid.vertices[:, 2] + 60)
    along = (turned > 22 / 60) & (turned < 58 / 60) & (np.abs(solid.vertices[:, 1]) < 0.2) & (radius < 66)
    floor = radius[along & (radius > 60)]
    assert len(floor) > 10
    assert floor.min() == pytest.approx(61.4, abs=0.03) == floor.max()


def test_an_eye_is_a_flat_seat_below_its_rim() -> None:
    params = {"eye": 4.0, "eye_at": 20.0, "length": LONG}
    bait = trunk()
    eye = Eye.of(bait, params)
    assert eye is not None
    up = 0.12 * 7
    # The rim's lowest place is its upper end, at a height of 0.84 + 2 mm on the round of 7 mm.
    assert eye.bottom == pytest.approx(math.sqrt(49 - (up + 2) ** 2) - SEAT)
    # Two cylinders of 4 mm from the seat out to the round: over the seat's disc, sqrt(49 - z^2) - seat.
    z = np.linspace(up - 2, up + 2, 200001)
    exact = 2 * float(
        np.trapezoid((np.sqrt(49 - z * z) - eye.bottom) * 2 * np.sqrt(np.maximum(4 - (z - up) ** 2, 0)), z)
    )
    hollows = eye.strands(bait)
    assert left(bait, *hollows) == pytest.approx(exact, rel=2e-3)
    assert [hollow.name for hollow in hollows] == ["left eye socket", "right eye socket"]


def test_beside_a_straight_path_is_a_straight_path() -> None:
    path = StraightPath(30.0, (1.0, 2.0, 3.0), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0))
    there = beside(path, -5.0, 20.0, left=2.0, back=1.5)
    points, left_, _ = there.frames(np.array([0.0, 25.0]))
    assert points[0] == pytest.approx([1 - 5 * 0.6 - 1.6, 2 - 4 + 1.2, 4.5])
    assert points[1] == pytest.approx([1 + 20 * 0.6 - 1.6, 2 + 16 + 1.2, 4.5])
    assert left_[0] == pytest.approx([-0.8, 0.6, 0])
    other = beside(path, 20.0, -5.0, left=2.0, back=1.5)
    assert other.frames(np.array([0.0]))[0][0] == pytest.approx(points[1])
    assert other.frames(np.array([25.0]))[0][0] == pytest.approx(points[0])


@pytest.mark.parametrize("back", [-3.0, 0.0, 4.0])
def test_beside_an_arch_is_an_arch_on_another_radius(back: float) -> None:
    path = beside(quarter(40.0), 5.0, 55.0, back=back)
    points = path.frames(np.linspace(0, path.length, 200))[0]
    radius = np.hypot(points[:, 0], points[:, 2] + 40)
    assert radius == pytest.approx(40 + back, abs=2e-3)
    assert path.length == pytest.approx(50 * (40 + back) / 40, rel=1e-4)
    assert 1 / norm(path.curvature(np.array([path.length / 2])))[0] == pytest.approx(40 + back, rel=0.01)


def test_beyond_the_ends_a_path_beside_another_goes_straight_on() -> None:
    bent = quarter(40.0)
    path = beside(bent, -8.0, bent.length + 8.0)
    first, last = path.frames(np.array([0.0, path.length]))[0]
    assert first == pytest.approx([-8, 0, 0], abs=1e-6)
    assert last == pytest.approx([40, 0, -48], abs=0.02)


def test_a_bore_in_a_solid_alone_is_sound() -> None:
    bore = Bore("rattle pocket", "pocket", "rattle_pocket", 4.0, 16.0, False).strand(trunk())
    assert solid_of(bore, 0.02).volume == pytest.approx(math.pi * 4 * (16 + 1 - 2) + 2 / 3 * math.pi * 8, rel=1e-4)


def test_a_hollow_in_a_strands_box_and_not_in_the_strand_takes_nothing() -> None:
    """The box around an arch has room on both sides of it."""
    arch = trunk(quarter(60))
    low, high = extent_of(arch)
    # The corner that the arch passes the furthest: seen from the middle of its path, beyond the line between its ends.
    middle = arch.path.frames(np.array([arch.path.length / 2]))[0][0]
    corners = [np.array([x, 0.0, z]) for x in (low[0] + 2, high[0] - 2) for z in (low[2] + 2, high[2] - 2)]
    corner = max(corners, key=lambda each: float(np.abs(outside(arch, each[None]))[0]))
    assert float(norm(corner - middle)) > WIDE
    girth = Girth.circular((0.0, 1.0), (1.0, 1.0))
    begin = (float(corner[0]) - 0.5, 0.0, float(corner[2]))
    hollow = Strand("bore", "bore", StraightPath(1.0, begin), girth, Plain((0.0, 0.0)))
    assert taken_out((hollow,), (arch,)) == (0.0, 0.0)
