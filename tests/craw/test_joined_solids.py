"""Bent strands and strands joined, against exact volumes; the same bytes in every process."""

from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys

import numpy as np
import pytest

from tests.craw.drawn_craws import craw, edges_by_place
from tests.craw.test_curved_paths import space_curve
from tests.stack import ROOT
from worker.measures.strand.size import size_of
from worker.solid.join import joined, united, whole
from worker.solid.solid import Solid, checked_solid
from worker.solid.trunk import mesh_of, solid_of
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.turning import too_tight


def rod(diameter: float, path: Path, ends: tuple[float, float] = (0.0, 0.0)) -> Strand:
    """A plain round strand."""
    return Strand("rod", "trunk", path, Girth.circular((0.0, diameter), (1.0, diameter)), Plain(ends))


@pytest.mark.parametrize("tolerance", [0.1, 0.02, 0.005])
def test_a_bent_rod_has_the_volume_of_a_straight_one(tolerance: float) -> None:
    # Pappus and Guldin: section area times the length of its centroid's path.
    path = space_curve()
    assert solid_of(rod(6, path), tolerance).volume == pytest.approx(math.pi * 9 * path.length, rel=1e-5)


def test_a_bent_tapering_flat_strand_has_its_volume_by_quadrature() -> None:
    girth = Girth.oval((0.0, 3.5, 2.5), (0.15, 3.5, 2.5), (0.5, 10.0, 3.0), (1.0, 8.0, 1.2))
    strand = Strand("claw", "claw", space_curve(), girth, Plain((0.0, 4.0)))
    exact = size_of(strand.body).volume
    assert solid_of(strand, 0.02).volume == pytest.approx(exact, rel=2e-5)


def test_a_rod_bent_to_a_half_ring_has_the_torus_surface() -> None:
    # Half of 4 pi^2 R r, and two flat ends; Hermite arcs of 90 degrees run within 3e-4 of the circle.
    radius, handle = 12.0, 12.0 * 4 * (math.sqrt(2) - 1)
    knots = (
        Knot((0, -radius, 0), (1, 0, 0), after=handle),
        Knot((radius, 0, 0), (0, 1, 0), before=handle, after=handle),
        Knot((0, radius, 0), (-1, 0, 0), before=handle),
    )
    solid = solid_of(rod(5, HermitePath(knots)), 0.01)
    assert solid.surface == pytest.approx(2 * math.pi**2 * radius * 2.5 + 2 * math.pi * 2.5**2, rel=1e-3)
    assert solid.through_holes == 0


def test_two_rods_that_cross_share_a_steinmetz_solid() -> None:
    # Two equal cylinders that cross squarely share 16 r^3 / 3 (Archimedes, The Method).
    one, other = StraightPath(40, (-20, 0, 0)), StraightPath(40, (0, -20, 0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0))
    solid = joined([rod(8, one), rod(8, other)], 0.01)
    assert solid.volume == pytest.approx(2 * math.pi * 16 * 40 - 16 * 4**3 / 3, rel=1e-5)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


def test_a_rod_that_runs_into_another_end_to_end_adds_what_sticks_out() -> None:
    # A rod of 4 mm along the axis of one of 8 mm, 10 mm of it outside.
    thick, thin = rod(8, StraightPath(30)), rod(4, StraightPath(20, (20, 0, 0)))
    assert joined([thick, thin], 0.01).volume == pytest.approx(math.pi * (16 * 30 + 4 * 10), rel=1e-5)


def test_strands_apart_are_told_as_pieces() -> None:
    solid = joined([rod(4, StraightPath(20, (0, y, 0))) for y in (0.0, 4.1, 50.0)], 0.02)
    assert len(solid.parts) == 3
    assert solid.volume == pytest.approx(3 * math.pi * 4 * 20, rel=1e-5)


def test_four_rods_in_a_square_leave_one_hole() -> None:
    along = [StraightPath(30, (0, y, 0)) for y in (2.0, 28.0)]
    across = [StraightPath(30, (x, 0, 0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)) for x in (2.0, 28.0)]
    assert joined([rod(4, path) for path in (*along, *across)], 0.02).through_holes == 1


def test_a_strand_that_stands_alone_goes_through_no_union() -> None:
    strand = rod(6, StraightPath(30), (3.0, 3.0))
    vertices, triangles = mesh_of(strand, 0.02)
    solid = joined([strand], 0.02)
    assert np.array_equal(solid.vertices, np.round(vertices, 5) + 0.0)
    assert np.array_equal(solid.triangles, triangles)


def test_rods_that_graze_each_other_stay_closed_when_rounded() -> None:
    # Equal rods side by side whose sides touch, and one that shares a face with its neighbour.
    rods = [rod(4, StraightPath(20, (0, y, 0))) for y in (0.0, 3.9999999, 4.000001)]
    solid = united([mesh_of(each, 0.02) for each in [*rods, rod(4, StraightPath(20, (20, 0, 0)))]])
    assert (edges_by_place(solid) == 2).all()


def test_the_default_craw_is_closed_as_a_reader_of_stl_sees_it(default_solid: Solid) -> None:
    assert (edges_by_place(default_solid) == 2).all()


def test_a_turn_tighter_than_its_strand_is_thick_is_told_with_a_radius_that_would_do() -> None:
    def bent(radius: float) -> Strand:
        handle = 4 * (math.sqrt(2) - 1) * radius
        return rod(
            6, HermitePath((Knot((0, 0, 0), (1, 0, 0), 0, handle), Knot((radius, radius, 0), (0, 1, 0), handle)))
        )

    turn = too_tight(bent(2.5))
    assert turn is not None
    assert turn.radius == pytest.approx(2.5, rel=0.05)
    assert turn.needed == pytest.approx(3.15, rel=0.05)
    assert too_tight(bent(1.05 * turn.needed)) is None


_HASH = """
import hashlib, sys
from worker.solid.join import joined
from worker.styles.craw import CRAW
solid = joined(CRAW.strands(CRAW.defaults()), 0.05)
print(hashlib.sha256(solid.vertices.tobytes() + solid.triangles.tobytes()).hexdigest())
"""


def test_the_same_bytes_in_every_process_on_one_core_or_many() -> None:
    solid = joined(craw(), 0.05)
    here = hashlib.sha256(solid.vertices.tobytes() + solid.triangles.tobytes()).hexdigest()
    one_core = "import os; hasattr(os, 'sched_setaffinity') and os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})"
    for seed, first in (("1", one_core), ("2", "")):
        ran = subprocess.run(
            [sys.executable, "-c", f"{first}\n{_HASH}"],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
            timeout=120,
        )
        assert ran.stdout.strip() == here


def test_what_comes_loose_when_corners_are_rounded_is_no_piece() -> None:
    """A sliver of 2e-10 mm3 beside a box, as rounding leaves it behind a neck that it closes."""
    box = np.array([[x, y, z] for z in (0.0, 2.0) for x, y in ((1, 1), (-1, 1), (-1, -1), (1, -1))])
    sides = [c for at in range(4) for a, b in [(at, (at + 1) % 4)] for c in ((a, b, a + 4), (b, b + 4, a + 4))]
    sliver = np.array([3.0, 0.0, 0.0]) + 1e-3 * np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1.2]])
    faces = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (8, 10, 9), (8, 9, 11), (9, 10, 11), (8, 11, 10)]
    loose = checked_solid(np.concatenate([box, sliver]), np.array([*sides, *faces]))
    assert len(loose.parts) == 2
    assert len(whole(loose).parts) == 1
    assert whole(loose).volume == pytest.approx(8.0)
    assert whole(loose).vertices[:, 0].max() == 1.0
