"""A coarse bait is a preview of the full one; what would be too fine is refused before any work."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image

from worker.build import build
from worker.errors import InfeasibleRequest
from worker.request import read_request
from worker.request.bounds import MOST_TRIANGLES
from worker.request.sections import TOLERANCE
from worker.solid.join import meshes_of
from worker.strands.fineness import triangles_of
from worker.styles import STYLES

STYLE_NAMES = sorted(STYLES)


def built(**members: Any) -> Any:
    return build(read_request({"outputs": ["stl", "thumbnail"], **members}))


@pytest.mark.parametrize("style", ["beaded_worm", "craw"])
def test_a_preview_says_what_the_full_bait_says(style: str) -> None:
    full, coarse = (built(style=style, detail=detail) for detail in ("full", "coarse"))
    for same in ("joints", "weakest_joint", "flexibility_ratio", "thinnest_mm", "pieces"):
        assert coarse.metrics[same] == full.metrics[same]
    of_the_mesh = ("through_hole", "resolution")
    said = [[each for each in one.checks if each["check"] not in of_the_mesh] for one in (coarse, full)]
    assert said[0] == said[1] and len(said[0]) == len(full.checks) - 2
    assert coarse.metrics["length_mm"] == pytest.approx(full.metrics["length_mm"], abs=0.02)
    assert coarse.metrics["volume_mm3"] == pytest.approx(full.metrics["volume_mm3"], rel=2e-3)
    assert coarse.metrics["triangles"] < full.metrics["triangles"] / 3
    sizes = [Image.open(io.BytesIO(each.files["thumbnail.png"])).size for each in (full, coarse)]
    assert sizes == [(800, 600), (400, 300)]


def test_detail_is_part_of_who_a_bait_is() -> None:
    plain, full, coarse = (read_request({"style": "tube", **m}) for m in ({}, {"detail": "full"}, {"detail": "coarse"}))
    assert plain.id == full.id != coarse.id


@pytest.mark.parametrize("style", STYLE_NAMES)
def test_triangles_are_told_before_there_are_any(style: str) -> None:
    bait = read_request({"style": style}).bait
    strands = (*bait.strands(), *bait.hollows())
    made = sum(len(triangles) for _, triangles in meshes_of(strands, 0.05))
    assert triangles_of(strands, 0.05) == pytest.approx(made, rel=0.25)


def test_what_is_too_fine_is_refused_with_the_tolerance_that_would_do() -> None:
    fat = {"style": "craw", "params": {"length": 140, "body_width": 28, "body_height": 28, "rib_pitch": 2}}
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({**fat, "tolerance_mm": 0.005})
    (fault,) = refused.value.faults
    assert fault.pointer == "/tolerance_mm"
    assert isinstance(fault.allowed, dict)
    assert 0.005 < fault.allowed["minimum"] <= 0.02
    read_request({**fat, "tolerance_mm": fault.allowed["minimum"]})
    read_request({**fat, "tolerance_mm": 0.005, "detail": "coarse"})


@pytest.mark.parametrize("style", STYLE_NAMES)
def test_no_style_comes_near_the_bound_at_the_default_tolerance(style: str) -> None:
    """Which is why it is not asked for there: with every size and count at its greatest that goes together."""
    values = {p.name: p.maximum for p in STYLES[style].parameters if getattr(p, "kind", "") in ("length", "whole")}
    params: dict[str, Any] = {}
    for name, value in values.items():
        try:
            read_request({"style": style, "params": {**params, name: value}})
        except InfeasibleRequest:
            continue
        params[name] = value
    bait = read_request({"style": style, "params": params}).bait
    assert triangles_of((*bait.strands(), *bait.hollows()), float(TOLERANCE.default)) < MOST_TRIANGLES
