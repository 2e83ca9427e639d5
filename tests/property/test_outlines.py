"""The exact outlines against a brute-force one that knows only the request's parameters."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.outside.rolled import rolled
from tests.property.drawn import BEADED, for_all, requests
from worker.checks.subject import Subject
from worker.request import Request, read_request
from worker.strands.outline import Outline

Array = NDArray[np.float64]
STEP = 0.01
BETWEEN_SAMPLES = 12 * STEP
"""In a sharp crease, or where a ball is caught between upright faces, one sample along x is many of them in height."""


def _outline_points(outline: Outline) -> tuple[Array, Array]:
    cuts = np.unique(np.concatenate([outline.pieces.begin, outline.pieces.end]))
    x = np.concatenate([np.linspace(low + 1e-7, high - 1e-7, 12) for low, high in pairwise(cuts) if high - low > 1e-5])
    return x, outline.height(x)


def _distances(x: Array, y: Array, line_x: Array, line_y: Array) -> Array:
    """From each point to the polyline through evenly spaced points."""
    beside = round(BETWEEN_SAMPLES / STEP) + 2
    window = np.searchsorted(line_x, x)[:, None] + np.arange(-beside, beside)[None, :]
    here, there = np.clip(window, 0, len(line_x) - 1), np.clip(window + 1, 0, len(line_x) - 1)
    along_x, along_y = line_x[there] - line_x[here], line_y[there] - line_y[here]
    away_x, away_y = x[:, None] - line_x[here], y[:, None] - line_y[here]
    square = np.maximum(along_x**2 + along_y**2, 1e-30)
    share = np.clip((away_x * along_x + away_y * along_y) / square, 0, 1)
    return np.asarray(np.hypot(away_x - share * along_x, away_y - share * along_y).min(axis=1))


def _compare(request: Request) -> None:
    params: dict[str, Any] = dict(request.params)
    body = Subject(request).body
    views = [(body.side, 1.0, 1.0), (body.back, params["bead_height_ratio"], params.get("core_height_ratio", 1.0))]
    profiles = [rolled(params, ratio, core, STEP) for _, ratio, core in views]
    solid = np.minimum(*(profile.y > 0 for profile in profiles))
    for (outline, _, _), profile in zip(views, profiles, strict=True):
        x, y = _outline_points(outline)
        if not outline.gaps.joined.all():
            # One view may bridge a gap that the other leaves open: then both are open, so only crests are compared.
            x, y = outline.crest_x, outline.crest_y
        assert _distances(x, y, profile.x, profile.y).max() < BETWEEN_SAMPLES
        joined = int(np.count_nonzero(np.diff(solid[2:-2].astype(int)) == -1)) == 0
        assert joined == bool(body.side.gaps.joined.all() and body.back.gaps.joined.all())


@for_all(requests(BEADED), quick=24, proof=400)
def test_the_outline_is_the_one_that_a_ball_rolled_over_the_beads_and_the_core_leaves(request: Request) -> None:
    _compare(request)


@for_all(requests(), quick=40, proof=1000)
def test_the_pieces_follow_one_another_from_end_to_end(request: Request) -> None:
    body = Subject(request).body
    for outline in (body.side, body.back):
        pieces = outline.pieces
        assert (pieces.begin[1:] >= pieces.end[:-1] - 1e-7).all()
        apart = int(np.count_nonzero(pieces.begin[1:] > pieces.end[:-1] + 1e-7))
        assert apart <= len(outline.runs) - 1
        assert pieces.begin[0] == pytest.approx(0, abs=1e-9)
        assert pieces.end[-1] == pytest.approx(request.params["length"])


def test_ribs_that_reach_into_a_round_end_shorten_it() -> None:
    """A tail end 7.3 mm long of which the ribs leave 5: the two outlines lay over each other there."""
    ribs = {"rib_pitch": 7.963, "rib_depth": 0.853, "rib_land": 1.794, "rib_edge_radius": 0.897}
    params = {"length": 50, "width": 14.555, "height": 3.5, "taper": 1, **ribs, "ribs_from": 0.12, "ribs_to": 0.92}
    pieces = Subject(read_request({"style": "ribbed_worm", "params": params})).body.side.pieces
    assert (pieces.begin[1:] >= pieces.end[:-1] - 1e-9).all()


def test_a_small_ball_finds_its_place_on_a_long_flat_bead() -> None:
    """Newton's rule in the cosine of the normal did not settle here, and the core showed through the beads."""
    params = {"length": 300, "bead_diameter": 10.1, "bead_count": 9, "core_diameter": 1.5, "joint_blend": 0.031}
    ratios = {"bead_length_ratio": 2, "bead_height_ratio": 0.6, "core_height_ratio": 0.5}
    _compare(read_request({"style": "jointed_worm", "params": params | ratios}))


def test_a_gap_that_only_one_view_bridges_is_open_in_both() -> None:
    """Flattened beads 3.4 mm apart: the ball bridges them seen from above and falls through seen from the side."""
    params = {"length": 50, "bead_diameter": 6.71, "bead_count": 6, "joint_blend": 2.56}
    ratios = {"bead_length_ratio": 0.82, "bead_height_ratio": 0.6}
    body = Subject(read_request({"style": "beaded_worm", "params": params | ratios})).body
    bead = 0.82 * 6.71
    assert len(body.runs) == 6
    assert np.allclose([end - begin for begin, end in body.runs], bead, atol=1e-6)
    # Just short of its end a bead is as thin as its own ellipse there, and not as wide as a bridge.
    near_end = np.array([bead - 1e-4])
    half_width, half_height = body.half_sizes(near_end)
    share = 1 - 1e-4 / (bead / 2)
    assert np.allclose([half_width[0], half_height[0]], np.array([6.71, 6.71 * 0.6]) / 2 * np.sqrt(1 - share**2))


def test_beads_that_only_touch_fall_apart_one_by_one() -> None:
    """Where one bead ends the next begins, to the last bit or one past it: on either side there is a bead."""
    for tenths in range(72, 200):
        width = tenths / 10
        params = {"length": round(7 * width, 4), "bead_diameter": width, "bead_count": 7, "joint_blend": 0}
        body = Subject(read_request({"style": "beaded_worm", "params": params})).body
        parted = np.flatnonzero(~body.side.gaps.joined)
        assert [end for _, end in body.runs[:-1]] == pytest.approx(list(width * (parted + 1.0)))


def test_barrels_that_run_into_each_other_are_one_level_rod() -> None:
    params = {"length": 145, "bead_diameter": 10, "bead_count": 60, "core_diameter": 5, "segment": "barrel"}
    subject = Subject(read_request({"style": "jointed_worm", "params": params}))
    middle = np.linspace(10, 135, 500)
    assert np.allclose(subject.body.side.height(middle), 5.0, atol=1e-9)
    assert len(subject.joints) == 0
