"""Needle's holes: where no vent in the parting face reaches, one leads straight out through a half."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from tests.mould.moulded import shared
from worker.checks.subject import Subject
from worker.mould import mould_of
from worker.mould.checks import check_mould
from worker.mould.mould import Mould
from worker.mould.needles import Needle
from worker.request import read_request
from worker.solid.join import joined


def _moulded(style: str) -> tuple[Subject, Mould]:
    request = read_request({"style": style, "detail": "coarse", "mould": {}})
    subject = Subject(request)
    mould = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert mould is not None
    return subject, mould


@pytest.mark.parametrize("style", ["shrimp", "tube"])
def test_a_hole_leads_from_the_extremity_out_of_its_half(style: str) -> None:
    """On the halves' own meshes: a wire of 0.7 mm goes through a hole of 0.8, one of 1.2 mm cuts mould all along."""
    subject, mould = _moulded(style)
    assert mould.plan is not None
    (answer,) = (each for each in check_mould(subject, mould) if each.check == "vent")
    assert answer.verdict == "pass"
    needles = [vent for _, vent in mould.plan.vents[0] if isinstance(vent, Needle)]
    assert needles and "a hole of 0.8 mm" in answer.text
    columns = mould.cavity.columns
    for needle in needles:
        solid = mould.parts[needle.half]
        half = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
        outside = mould.plan.block.high[2] if needle.half == "upper" else mould.plan.block.low[2]
        length = abs(outside - needle.z) - 1.0
        toward = math.copysign(1.0, outside - needle.z)
        centre = needle.z + toward * (0.5 + length / 2)
        found = []
        for diameter in (0.7, 1.2):
            wire = trimesh.creation.cylinder(diameter / 2, length, sections=24)
            wire.apply_translation([*needle.at, centre])
            found.append(shared(half, wire))
        assert found[0] == pytest.approx(0, abs=1e-6)
        assert found[1] > 0.3 * length
        back = mould.plan.placed[0]
        off = np.array([[columns.x0, columns.y0]]) + columns.cell * np.argwhere(columns.plan)
        assert np.hypot(*(back.points(off) - np.array(needle.at)).T).min() < 1e-6, "in the bait's plan"
