"""Silhouettes against bodies whose outlines are known, and against the extents of the mesh."""

from __future__ import annotations

import math

import numpy as np
import pytest

from worker.drawing.model import Shape
from worker.drawing.silhouette import outlined
from worker.request import read_request
from worker.solid.join import joined
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles import STYLES


def _area(loops: tuple[np.ndarray, ...]) -> float:
    """Of loops that do not overlap, by the shoelace formula."""
    total = 0.0
    for loop in loops:
        x, y = loop[:, 0], loop[:, 1]
        total += float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2
    return total


def _rod(length: float, width: float, height: float, ends: float) -> Strand:
    girth = Girth.oval((0.0, width, height), (1.0, width, height))
    return Strand("rod", "trunk", StraightPath(length), girth, Plain((ends, ends)))


def test_a_straight_rod_with_elliptic_ends_has_its_own_area_in_both_views() -> None:
    for view, size in (("top", 8.0), ("side", 5.0)):
        seen = outlined(_rod(60.0, 8.0, 5.0, 3.0), view, 0.001)  # type: ignore[arg-type]
        assert seen is not None and len(seen.loops) == 1
        assert _area(seen.loops) == pytest.approx(54 * size + math.pi * 3 * size / 2, rel=2e-4)
        assert seen.box == pytest.approx((0.0, 60.0, -size / 2, size / 2), abs=1e-3)


def test_a_rod_that_stands_on_end_is_seen_as_its_section() -> None:
    path = HermitePath((Knot((0, 0, 0), (0, 0, 1)), Knot((0, 0, 20), (0, 0, 1))), (0, 1, 0))
    girth = Girth.oval((0.0, 6.0, 4.0), (1.0, 6.0, 4.0))
    seen = outlined(Strand("post", "leg", path, girth, Plain((0.0, 0.0))), "top", 0.01)
    assert seen is not None
    assert seen.box == pytest.approx((-2.0, 2.0, -3.0, 3.0), abs=1e-6)
    faces = [loop for loop in seen.loops if len(loop) == 20]
    # A polygon of 20 corners has 0.9836 of its ellipse: (20 / 2 pi) sin(2 pi / 20).
    assert faces and all(_area((loop,)) == pytest.approx(math.pi * 6 * 0.98363, rel=1e-4) for loop in faces)


def test_every_loop_turns_the_same_way_so_that_none_cancels_another() -> None:
    for style in STYLES.values():
        shape = Shape(style.strands(style.defaults()), style.hollows(style.defaults()))
        for view in ("top", "side"):
            for each in shape.seen(view, 0.05):  # type: ignore[arg-type]
                assert all(_area((loop,)) > -0.5 for loop in each.loops), (style.name, each.name, view)


@pytest.mark.parametrize("name", list(STYLES))
def test_silhouettes_reach_as_far_as_the_mesh(name: str) -> None:
    solid = joined(Shape(STYLES[name].strands(read_request({"style": name}).normal["params"])).strands, 0.05)
    low, high = solid.vertices.min(axis=0), solid.vertices.max(axis=0)
    shape = Shape(STYLES[name].strands(STYLES[name].defaults()))
    top, side = shape.box("top", 0.01), shape.box("side", 0.01)
    assert top == pytest.approx((low[0], high[0], -high[1], -low[1]), abs=0.15)
    assert side == pytest.approx((low[0], high[0], -high[2], -low[2]), abs=0.15)


def test_a_window_leaves_out_what_lies_elsewhere() -> None:
    strand = STYLES["beaded_worm"].strands(STYLES["beaded_worm"].defaults())[0]
    whole, part = outlined(strand, "top", 0.02), outlined(strand, "top", 0.02, (40.0, 50.0, -5.0, 5.0))
    assert whole is not None and part is not None
    assert sum(map(len, part.loops)) < 0.25 * sum(map(len, whole.loops))
    assert part.box[0] < 40 and part.box[1] > 50
    assert outlined(strand, "top", 0.02, (0.0, 127.0, 30.0, 40.0)) is None
