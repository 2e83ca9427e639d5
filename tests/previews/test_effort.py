"""What would take a worker longer than a job may is refused before any work, by name and with what would do."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest

from worker.build import build
from worker.errors import Fault, InfeasibleRequest, RequestRejected
from worker.files.table import OUTPUTS
from worker.request import Request, read_request
from worker.request.bounds import MOST_LIMBS
from worker.request.effort import MOST_SECONDS, OUTPUT, asked
from worker.settings.declared import load
from worker.strands.fineness import triangles_of
from worker.styles import STYLES

DEMO = sorted((Path(__file__).parents[2] / "demo_requests").glob("*.json"))
CUT = {"checks": {"joint_pull": {"view": "cut"}}}
FAT = {"style": "craw", "params": {"length": 140, "body_width": 28, "body_height": 28, "rib_pitch": 2}}
TRUNK = {"name": "body", "kind": "trunk", "path": {"length": 380}, "girth": [{"at": 0, "width": 20}]}
LEGS: dict[str, Any] = {
    "name": "leg",
    "kind": "leg",
    "parent": "body",
    "stations": {"from": 0.04, "to": 0.96, "count": 29},
    "both_sides": True,
    "yaw": 90,
    "path": {"length": 40},
    "girth": [{"at": 0, "width": 5}, {"at": 1, "width": 2}],
}
MANY = {"strands": [TRUNK, LEGS]}
"""A trunk with 58 legs."""
LONG: dict[str, Any] = {
    **LEGS,
    "path": {"length": 100},
    "girth": [{"at": 0, "width": 8}, {"at": 1, "width": 5}],
    "relief": {"kind": "rings", "count": 12, "depth": 0.4, "from": 0.2, "to": 0.95},
}
RINGED = {"strands": [{**TRUNK, "girth": [{"at": 0, "width": 30}]}, LONG]}
"""The same with long ringed legs: a mesh that is large at the coarsest."""


def seconds(request: Request) -> float:
    """What a full build of it is expected to take."""
    bait = request.bait
    strands, hollows = bait.strands(), bait.hollows()
    triangles = triangles_of((*strands, *hollows), request.tolerance)
    return asked(request.normal).seconds(triangles, sum(strand.limb for strand in strands), triangles)


def refused(body: dict[str, Any]) -> Fault:
    """The one fault of a request that is refused."""
    with pytest.raises(InfeasibleRequest) as told:
        read_request(body)
    (fault,) = told.value.faults
    return fault


def test_every_output_has_its_time_and_the_bound_is_a_jobs_limit() -> None:
    assert {*OUTPUT, "mould"} == set(OUTPUTS)
    assert load({}).job_limit_s >= MOST_SECONDS


@pytest.mark.parametrize("style", sorted(STYLES))
def test_a_style_as_it_is_takes_a_fraction_of_the_bound_and_all_that_can_be_asked_of_it_is_taken(style: str) -> None:
    assert seconds(read_request({"style": style})) < MOST_SECONDS / 8
    assert seconds(read_request({"style": style, "outputs": list(OUTPUTS), **CUT})) < 0.75 * MOST_SECONDS


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_the_demo_is_far_below_it(file: Path) -> None:
    try:
        request = read_request(json.loads(file.read_text(encoding="utf-8")))
    except RequestRejected:
        pytest.skip("refused on purpose")
    assert seconds(request) < MOST_SECONDS / 3


def test_no_bait_has_more_limbs_than_are_counted_with() -> None:
    request = read_request({**MANY, "tolerance_mm": 0.1})
    assert 50 < sum(strand.limb for strand in request.bait.strands()) <= MOST_LIMBS


def test_a_heavy_bait_with_cuts_and_all_files_is_refused_with_the_tolerance_that_would_do() -> None:
    body = {**FAT, **CUT, "outputs": list(OUTPUTS)}
    fault = refused({**body, "tolerance_mm": 0.01})
    assert (fault.pointer, fault.code) == ("/tolerance_mm", "too-long")
    assert isinstance(fault.allowed, dict)
    least = fault.allowed["minimum"]
    assert 0.01 < least <= 0.05 and f"{least:g} mm would do" in fault.detail
    assert seconds(read_request({**body, "tolerance_mm": least})) <= MOST_SECONDS
    # The tolerance next below is the one that does not.
    assert refused({**body, "tolerance_mm": round(least - 0.005, 3)}).allowed == fault.allowed
    # Without what costs, it may be as fine as it was.
    read_request({**FAT, "tolerance_mm": 0.01, "outputs": ["stl", "glb"]})


def test_a_preview_is_counted_with_the_mesh_that_it_is_cut_in() -> None:
    preview = {**FAT, "detail": "coarse", "outputs": list(OUTPUTS), "mould": {"cavities": 2}}
    assert refused({**preview, **CUT, "tolerance_mm": 0.005}).code == "too-long"
    read_request({**preview, **CUT, "tolerance_mm": 0.02})
    read_request({**preview, "tolerance_mm": 0.005})


def test_where_no_tolerance_does_the_cuts_are_named_else_the_outputs_that_do() -> None:
    body = {**MANY, "tolerance_mm": 0.2, "outputs": list(OUTPUTS), "mould": {"cavities": 6}}
    fault = refused({**body, **CUT})
    assert (fault.pointer, fault.code) == ("/checks/joint_pull/view", "too-long")
    assert fault.allowed == {"choices": ["plane"]}
    read_request(body)
    body |= RINGED
    fault = refused({**body, "mould": {"cavities": 8}})
    assert fault.pointer == "/mould/cavities" and isinstance(fault.allowed, dict)
    most = fault.allowed["maximum"]
    read_request({**body, "mould": {"cavities": most}})
    assert refused({**body, "mould": {"cavities": most + 1}}).allowed == fault.allowed
    body["strands"] = [body["strands"][0], {**LONG, "path": {"length": 140}, "relief": {**LONG["relief"], "count": 16}}]
    fault = refused({**body, "mould": {"cavities": 1}})
    assert fault.pointer == "/outputs" and isinstance(fault.allowed, dict)
    fewer = fault.allowed["choices"]
    assert set(fewer) < set(OUTPUTS) and fault.detail.endswith(f"{', '.join(fewer)} alone would do.")
    read_request({**body, "outputs": fewer})


def test_what_is_just_within_the_bound_is_built_about_as_fast_as_is_told() -> None:
    """Time of this processor alone, others' work on it not counted: between a third and five thirds of what is told."""
    request = read_request({**MANY, **CUT, "tolerance_mm": 0.2, "outputs": ["glb", "stl", "views"]})
    told = seconds(request)
    assert MOST_SECONDS / 2 < told <= MOST_SECONDS
    begin = time.process_time()
    assert build(request).metrics["tear_sections"] is not None
    assert told / 3 < time.process_time() - begin < min(5 / 3 * told, MOST_SECONDS)
