"""The sheet of four views: what stands where, at which scale, and under which words."""

from __future__ import annotations

import io
import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from tests.picture.meshes import Mesh, box, craw, sphere, thin_rod, worm
from tests.picture.test_frame import joined
from worker.picture import finish_from_request, prepare, views
from worker.picture.bench_rule import HEIGHT, NUMBERS, _millimetres, bench_rule, rule_length
from worker.picture.lettering import width_of
from worker.picture.views import CLOSEST, GUTTER, LARGEST, MARGIN, scale_of

RED = finish_from_request({"colour": "#cc1122", "translucency": 0.0})
"""Nothing else on a sheet is red: neither paper, ink nor, under a plastic without translucency, its shadow."""

LUMPY = joined((box(60, 8, 8), (0, 0, 0)), (box(6, 14, 6), (20, 0, 0)), (box(6, 6, 14), (20, 0, 0)))
"""A bar with a collar 20 to 26 mm from its nose that stands out to all four sides."""


def bands(mesh: Mesh) -> tuple[list[NDArray[np.bool_]], float]:
    """The red pixels of each view, over the whole width of the sheet, and the scale in pixels per mm."""
    sheet = Image.open(io.BytesIO(views(prepare(*mesh, RED))["views.png"]))
    pixels = np.asarray(sheet.convert("RGB")).astype(int)
    red = pixels[..., 0] - pixels[..., 1] > 30
    rows = np.flatnonzero(red.any(axis=1))
    # Words of 20 pixels and more stand between two views, and they are not red.
    cuts = np.flatnonzero(np.diff(rows) > 20)
    parts = np.split(rows, cuts + 1)
    return [red[part[0] : part[-1] + 1] for part in parts], scale_of(prepare(*mesh, RED))


def across(view: NDArray[np.bool_]) -> tuple[int, int]:
    """First and last column of a silhouette."""
    columns = np.flatnonzero(view.any(axis=0))
    return int(columns[0]), int(columns[-1])


MESHES = {
    "worm": worm(),
    "craw": craw(),
    "ball": sphere(),
    "rod": thin_rod(300.0, 3.0),
    "bar": LUMPY,
    "tower": box(30, 20, 160),
}


@pytest.mark.parametrize("mesh", MESHES.values(), ids=MESHES.keys())
def test_top_and_side_lie_column_under_column_and_all_views_have_one_scale(mesh: Mesh) -> None:
    (top, side, front, turned), scale = bands(mesh)
    length, width, height = (float(q) for q in mesh[0].max(axis=0) - mesh[0].min(axis=0))
    assert scale <= CLOSEST
    nose, tail = across(top)
    # An edge that covers a pixel by less than half is not told apart from the paper by its colour.
    assert np.abs(np.subtract(across(side), (nose, tail))).max() <= 1
    assert abs(nose - (MARGIN + GUTTER)) <= 1 and abs(tail - nose + 1 - length * scale) <= 2
    for view, sideways, upright in ((top, length, width), (side, length, height), (front, width, height)):
        first, last = across(view)
        assert abs(last - first + 1 - sideways * scale) <= 2 and abs(len(view) - upright * scale) <= 2
    assert across(front)[0] == pytest.approx(MARGIN + GUTTER, abs=1)
    assert len(turned) > 0.5 * height * scale
    assert max(across(view)[1] - across(view)[0] for view in (top, front, turned)) <= LARGEST + 1


def test_what_lies_at_one_place_along_the_bait_lies_in_one_column_of_both_views() -> None:
    (top, side, _, _), scale = bands(LUMPY)
    for view in (top, side):
        collar = np.flatnonzero(view[1])
        begin = MARGIN + GUTTER + 20 * scale
        assert abs(collar[0] - begin) <= 1 and abs(collar[-1] + 1 - (begin + 6 * scale)) <= 1


def test_the_side_view_is_what_is_seen_from_the_lower_edge_of_the_top_view() -> None:
    """Third-angle projection: y, to the left of the bait, is up in the view from above; z is up in the other."""
    lumpy = joined((box(40, 8, 8), (0, 0, 0)), (box(10, 6, 2), (30, 7, 0)), (box(6, 2, 4), (0, 0, 6)))
    (top, side, _, _), scale = bands(lumpy)
    assert np.flatnonzero(top[1]).min() > MARGIN + GUTTER + 28 * scale, "the lump at the tail stands out to the left"
    assert np.flatnonzero(side[1]).max() < MARGIN + GUTTER + 8 * scale, "the lump at the nose stands on the back"


def test_a_preview_has_half_the_scale() -> None:
    prepared = prepare(*worm(), RED)
    assert scale_of(prepared, 2) == pytest.approx(scale_of(prepared) / 2, rel=0.01)
    whole, half = (Image.open(io.BytesIO(views(prepare(*worm(), RED), shrunk=by)["views.png"])) for by in (1, 2))
    assert half.width < 0.6 * whole.width and half.height < 0.9 * whole.height


@pytest.mark.parametrize("scale", [3.6, 7.5, 12.0])
def test_the_rule_measures_in_millimetres_and_inches(scale: float) -> None:
    rule = np.asarray(bench_rule(130.0, scale, "#ffffff", "#000000").convert("L")).astype(int)
    assert rule.shape == (HEIGHT, math.ceil(130 * scale) + 1)

    def darkest(row: int, place: float) -> int:
        column = round(place * scale)
        return int(rule[row, column - 1 : column + 2].min())

    for millimetre in (1, 2, 5, 10, 77, 100, 120):
        assert darkest(3, millimetre) < 160, millimetre
    for between in (0.5, 33.5):
        assert darkest(3, between) > 160 or scale < 6, between
    for inches in (0.25, 1, 1.5, 2.125, 5):
        assert darkest(HEIGHT - 4, 25.4 * inches) < 160, inches
    long_lines = [place for place in range(5, 126) if darkest(12, place) < 160]
    assert long_lines == list(range(10, 121, 10)), "only full centimetres reach as far as the numbers"


@pytest.mark.parametrize(("bait", "rule"), [(127.0, 130.0), (130.0, 130.0), (130.2, 140.0), (3.0, 10.0)])
def test_a_rule_ends_at_the_next_centimetre(bait: float, rule: float) -> None:
    assert rule_length(bait) == rule


def test_the_sheet_is_written_on_and_has_a_rule_under_the_side_view() -> None:
    sheet = Image.open(io.BytesIO(views(prepare(*worm(), RED))["views.png"])).convert("L")
    dark = np.asarray(sheet) < 90
    scale = scale_of(prepare(*worm(), RED))
    assert dark[:MARGIN].sum() == 0, "the margin is free"
    words = dark[MARGIN : MARGIN + 26, MARGIN : MARGIN + 300]
    assert 200 < words.sum() < 3000, "words over the first view"
    full = np.flatnonzero(dark[:, MARGIN + GUTTER : MARGIN + GUTTER + round(130 * scale)].all(axis=1))
    assert len(full) == 2 and full[1] - full[0] == HEIGHT - 1, "the rule's two edges"


def test_the_file_is_small_enough_to_be_sent_along() -> None:
    assert all(len(views(prepare(*mesh, RED))["views.png"]) < 1_500_000 for mesh in (worm(), craw()))


@pytest.mark.parametrize(("length", "scale"), [(60, 11), (180, 4.7), (260, 2.86), (320, 2.27), (600, 1.2)])
def test_numbers_of_a_rule_stand_apart(length: float, scale: float) -> None:
    """A mould of 320 mm in a picture of 900 pixels: 23 for every centimetre, and 24 for "300"."""
    found = [(tick.at * scale, width_of(tick.number, NUMBERS)) for tick in _millimetres(length, scale) if tick.number]
    assert len(found) >= 4
    for (one, wide), (other, wider) in pairwise(found):
        assert other - one > (wide + wider) / 2 + 2
