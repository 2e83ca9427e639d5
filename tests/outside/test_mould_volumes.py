"""Volumes of moulds: of capsules and spheres in closed form, and of blocks less bodies by the reference kernel."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.mould.moulded import built, closed_up, part, shared
from tests.requires import requires
from worker.checks.subject import Subject
from worker.mould import mould_of
from worker.request import read_request
from worker.solid.carve import apart, carved
from worker.solid.join import joined
from worker.solid.shapes import box

GROWTH = 1 / (1 - 0.02)
"""Flexible PVC shrinks by 2 % (1 to 3 %, a moulder's table from the Injection Molding Reference Guide): 1.062482 of the
volume."""


def capsule(length: float, diameter: float) -> dict[str, Any]:
    ends = [{"at": 0, "width": diameter}, {"at": 1, "width": diameter}]
    return {"strands": [{"name": "body", "kind": "trunk", "path": {"length": length}, "girth": ends}]}


def volume_of_capsule(length: float, diameter: float) -> float:
    radius = diameter / 2
    return math.pi * radius**2 * (length - diameter) + 4 / 3 * math.pi * radius**3


@pytest.mark.parametrize(("length", "diameter"), [(60, 10), (80, 6), (16, 14)])
def test_a_capsules_cavity(length: float, diameter: float) -> None:
    told = built(capsule(length, diameter)).metrics["mould"]
    expected = volume_of_capsule(length, diameter) * GROWTH**3
    assert pytest.approx(1.062482, rel=1e-6) == GROWTH**3
    assert told["cavity_volume_mm3"] == pytest.approx(expected, rel=1e-3)
    assert told["thickest_mm"] == pytest.approx(diameter * GROWTH, abs=0.25)
    shadow = (diameter * (length - diameter) + math.pi * diameter**2 / 4) * GROWTH**2
    assert told["projected_area_mm2"] > shadow * 0.99


@pytest.mark.parametrize("mould", [{}, {"cavities": 3, "material": "resin"}, {"gate_at": "nose", "cavities": 4}])
def test_the_halves_and_all_that_is_cut_out_make_the_block(mould: dict[str, Any]) -> None:
    told = built(capsule(60, 10), **mould).metrics["mould"]
    assert told["balance"] < 1e-6
    assert told["channels_volume_mm3"] > 0
    assert told["sprue_volume_mm3"] >= 0.1 * told["cavities"] * told["cavity_volume_mm3"]


def test_an_open_mould_of_half_a_capsule_misses_half_of_its_volume() -> None:
    """The parting plane through the middle line leaves one half of it in the block."""
    bait = built(capsule(60, 10), kind="open_pour", parting={"turn_deg": 0, "height": 0})
    half = volume_of_capsule(60, 10) / 2 * GROWTH**3
    assert bait.metrics["mould"]["cavity_volume_mm3"] == pytest.approx(half, rel=1e-3)


def test_halves_do_not_overlap() -> None:
    """By another reader of the files: nothing is in both."""
    bait = built(capsule(60, 10), fastening="clamps")
    lower, upper = part(bait, "mould_lower"), closed_up(part(bait, "mould_upper"))
    assert shared(lower, upper) < 1e-3


@requires("kernel")
def test_a_block_less_a_capsule_is_the_kernels() -> None:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut

    from tests.outside.kernel import ball, block, fused, rod, volume

    request = read_request({**capsule(60, 10), "mould": {"parting": {"form": "flat", "turn_deg": 0, "height": 1.5}}})
    subject = Subject(request)
    mould = mould_of(subject, joined(subject.strands, request.tolerance))
    assert mould is not None
    cavity = mould.cavity
    low, high = (-8.0, -12.0, -14.0), (70.0, 12.0, 0.0)
    ours = carved([box(low, high)], [apart([(cavity.vertices, cavity.triangles)])])
    radius, drop = 5 * GROWTH, 1.5 * GROWTH
    begin, end = radius, 60 * GROWTH - radius
    body = fused([rod(begin, end, radius), ball(begin, radius), ball(end, radius)])
    # The kernel's capsule lies on the axis, so its block is raised by as much as ours has the capsule lowered.
    raised = tuple((x, y, z + drop) for x, y, z in (low, high))
    theirs = volume(BRepAlgoAPI_Cut(block(*raised), body).Shape())
    removed = 78 * 24 * 14 - theirs
    assert 78 * 24 * 14 - ours.volume == pytest.approx(removed, rel=1e-3)
    assert ours.volume == pytest.approx(theirs, rel=1e-4)
