"""What is told from one side, or once, is what the whole would tell: reaches, sections of a trunk, faces in common."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tests.strands.test_union_sizes import rod, union
from worker.measures.strand.extent import extent_of, furthest
from worker.measures.strand.sides import is_even
from worker.measures.strand.trunk_grid import sections_from, trunk_grid
from worker.measures.strand.trunk_section import trunk_sections
from worker.measures.strand.union import whole_of
from worker.request import read_request
from worker.solid.join import joined
from worker.strands.path import StraightPath
from worker.strands.section import Section
from worker.strands.strand import Strand

CRAW: Mapping[str, object] = {"style": "craw", "params": {"flat_belly": 0.2}}


def strands_of(body: Mapping[str, object]) -> tuple[Strand, ...]:
    return read_request(body).bait.strands()


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("side", [0, 1])
def test_the_reach_to_one_side_is_the_box_of_all(axis: int, side: int) -> None:
    strands = strands_of(CRAW)
    ends = [float(extent_of(strand)[side][axis]) for strand in strands]
    # The very bits: where a claw's wrist stands hangs on it, and with it every byte of a craw.
    assert furthest(strands, axis, (-1.0, 1.0)[side]) == (min, max)[side](ends)


def test_a_trunk_is_even_only_with_both_its_sides() -> None:
    core, left, right, *_ = strands_of(CRAW)
    assert is_even([core, left, right])
    assert not is_even([core, left])
    assert not is_even([core, right])
    assert not is_even([rod("beside", 4, StraightPath(30, (0, 1.0, 0)))])


@pytest.mark.parametrize("begin", [None, 20.0, 41.3])
def test_sections_on_the_grid_are_those_of_the_places(begin: float | None) -> None:
    trunk = strands_of(CRAW)[:3]
    at, weight, sections = sections_from(trunk, begin)
    again = trunk_grid(trunk, begin)
    assert at.tolist() == again[0].tolist()
    assert weight.tolist() == again[1].tolist()
    every = trunk_sections(trunk, at)
    assert sections.area == pytest.approx(every.area, rel=1e-12)
    assert sections.up_down == pytest.approx(every.up_down, rel=1e-12)
    # Told from one side, and from both where the trunk is taken as two that are not each other's counterpart.
    both = trunk_sections((trunk[0], trunk[1], rod("nothing", 1e-6, StraightPath(1, (500, 9, 0))), trunk[2]), at)
    assert sections.area == pytest.approx(both.area, rel=1e-9)
    assert sections.sideways == pytest.approx(both.sideways, rel=1e-9, abs=1e-9)


def test_a_face_in_common_counts_once() -> None:
    # Both bellies are cut level 2 mm below the path: what the inner rod adds to the outer one is nothing.
    cut = Section(floor=2.0)
    outer, inner = (
        rod("outer", 10, StraightPath(60), section=cut),
        rod("inner", 7, StraightPath(40, (10, 0, 0)), section=cut),
    )
    for strands in ((outer, inner), (inner, outer)):
        # Counted twice it would be 13 % too much; a dozen places a section tell its sides to one or two per cent.
        assert union(*strands)[1] == pytest.approx(whole_of(outer)[1], rel=0.02)


def test_skin_of_a_bait_with_two_sides_is_the_solids() -> None:
    left = rod("left", 6, StraightPath(50, (0, 2.0, 0)), 8)
    strands = rod("core", 5, StraightPath(56, (-3, 0, 0))), left, left.handed("right")
    assert is_even(strands)
    volume, skin = union(*strands)
    solid = joined(strands, 0.01)
    assert volume == pytest.approx(solid.volume, rel=3e-3)
    assert skin == pytest.approx(solid.surface, rel=0.01)
