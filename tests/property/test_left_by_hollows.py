"""What hollows leave: a size as in the solid, a bait or a refusal that helps, a thin limb under a wide one."""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.open_form.bodies import LEG, TRUNK, bait, codes, faults, solid_of
from tests.property.drawn import exists, for_all
from tests.property.drawn_open import angles, between, open_form_bodies
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.request import read_request
from worker.solid.join import joined

Body = dict[str, Any]
TOLERANCE, FINER = 0.05, 0.01
CLOSE = TOLERANCE + 0.02
"""mm: what a mesh may be off by, and a little."""


@st.composite
def _at_tips(draw: st.DrawFn, strand: Body) -> Body:
    """A hollow that is likely to take a tip away, or a side."""
    hollow: Body = {
        "kind": draw(st.sampled_from(["bore", "bore", "pocket", "cut", "socket"])),
        "strand": strand["name"],
    }
    match hollow["kind"]:
        case "cut":
            hollow |= {"from": draw(between(0.3, 0.8)), "to": 1.0, "count": draw(st.integers(1, 4))}
            return hollow | {"width": draw(between(0.3, 3)), "around": draw(angles(-180, 180))}
        case "socket":
            hollow |= {"stations": [draw(between(0.02, 0.98))], "around": draw(st.sampled_from([0, 90, 180, -90, 33]))}
            return hollow | {"diameter": draw(between(1, 12)), "depth": draw(between(0.3, 3))}
        case _:
            hollow |= {"stations": [draw(st.sampled_from([0, 1, 0.03, 0.97, 0.5]))], "diameter": draw(between(1, 12))}
            hollow |= {"length": draw(between(12, 40)), "yaw": draw(angles(-90, 90)), "rise": draw(angles(-60, 60))}
            return hollow | {"start": [draw(between(-6, 2)), draw(between(-4, 4)), draw(between(-4, 4))]}


@st.composite
def bored_bodies(draw: st.DrawFn) -> Body:
    """Baits of the open form with hollows at their tips and sides. Roots are sharp: a flare may outlast its limb."""
    body: Body = draw(open_form_bodies(tolerance=TOLERANCE))
    for strand in body["strands"]:
        if "parent" in strand:
            strand["root_blend"] = 0
    more = [draw(_at_tips(draw(st.sampled_from(body["strands"])))) for _ in range(draw(st.integers(1, 3)))]
    body["hollows"] = [*body.get("hollows", []), *more]
    if not exists(body):
        reject()
    return body


def _off(subject: Subject, tolerance: float) -> float:
    told = (subject.size.length, subject.size.max_width, subject.size.max_height)
    extent = joined(subject.strands, tolerance, subject.hollows).extent
    return max(abs(one - float(other)) for one, other in zip(told, extent, strict=True))


@for_all(bored_bodies(), quick=3, proof=400)
def test_sizes_are_those_of_the_solid_whatever_hollows_take(body: Body) -> None:
    """Where skin runs along an axis a mesh's rim lies off by many times its tolerance: a finer one is asked then."""
    subject = Subject(read_request(body))
    assert _off(subject, TOLERANCE) <= CLOSE or _off(subject, FINER) <= CLOSE


@st.composite
def _swallowed(draw: st.DrawFn) -> Body:
    """Short baits with hollows about as large as they are."""
    length, width = draw(between(8, 30)), draw(between(4, 12))
    trunk = {**TRUNK, "path": {"length": length}, "girth": [{"at": 0, "width": width}]}
    leg = {**LEG, "path": {"length": 12}, "girth": [{"at": 0, "width": draw(between(0.8, 3))}], "root_blend": 0}
    strands = [trunk, leg] if draw(st.booleans()) else [trunk]
    hollows = []
    for _ in range(draw(st.integers(1, 3))):
        start = [draw(between(-8, 3)), draw(between(-2, 2)), draw(between(-2, 2))]
        own: Body = {"kind": "pocket", "path": {"length": round(length * draw(between(0.5, 1.8)), 2)}}
        own |= {"girth": [{"at": 0, "width": round(width * draw(between(0.5, 2.5)), 2)}]}
        if draw(st.booleans()):
            own = {"kind": "bore", "strand": draw(st.sampled_from(strands))["name"], "length": draw(between(3, 40))}
            own |= {"stations": [draw(st.sampled_from([0, 0.5, 1]))], "diameter": draw(between(2, 12))}
        hollows.append({**own, "start": start})
    return bait(*strands, hollows=hollows, tolerance_mm=0.1)


@for_all(_swallowed(), quick=12, proof=1500)
def test_hollows_leave_a_bait_or_are_refused_with_what_would_do(body: Body) -> None:
    found = faults(body)
    if not found:
        told = estimate(read_request(body))["metrics"]
        for name in ("length_mm", "max_width_mm", "max_height_mm", "volume_mm3", "surface_mm2"):
            assert math.isfinite(told[name]) and told[name] > 0, name
        assert solid_of(read_request(body)).volume > 0
    for pointer, fault in found.items():
        assert fault.detail.endswith(".")
        if fault.code == "nothing-left" and isinstance(fault.allowed, dict):
            narrower = copy.deepcopy(body)
            narrower["hollows"][int(pointer.split("/")[2])]["diameter"] = fault.allowed["maximum"]
            assert pointer not in codes(narrower)


@for_all(between(0.8, 2), between(4, 12), between(8, 18), angles(0, 90), quick=8, proof=400)
def test_a_wide_bore_goes_over_a_thin_limb(thin: float, across: float, out: float, yaw: int) -> None:
    """Its middle goes through the limb's, `out` mm from the trunk's path: places spread over it may miss the limb."""
    leg = {**LEG, "path": {"length": 24}, "girth": [{"at": 0, "width": thin}], "root_blend": 0}
    bore = {"kind": "bore", "strand": "leg", "stations": [round(out / 24, 3)], "yaw": yaw, "start": [-10, 0, 0]}
    body = bait(TRUNK, leg, hollows=[{**bore, "diameter": across, "length": 20}], tolerance_mm=0.1)
    assert codes(body) == {}
    whole = solid_of(read_request(bait(TRUNK, leg, tolerance_mm=0.1)))
    assert solid_of(read_request(body)).volume < whole.volume - 1


def test_the_widest_bore_that_leaves_a_bait_leaves_a_fiftieth() -> None:
    """Of a flat cylinder bored through from end to end: 1 - (d / D)^2 = 0.02, d = 5.940 of D = 6."""
    trunk = {**TRUNK, "path": {"length": 12}, "girth": [{"at": 0, "width": 6}], "ends": {"root": "flat", "tip": "flat"}}
    bore = {"kind": "bore", "strand": "body", "diameter": 8, "length": 40, "start": [-6, 0, 0]}
    (fault,) = faults(bait(trunk, hollows=[bore])).values()
    assert (fault.pointer, fault.code) == ("/hollows/0/diameter", "nothing-left")
    assert isinstance(fault.allowed, dict)
    assert float(fault.allowed["maximum"]) == pytest.approx(6 * math.sqrt(0.98), abs=0.05)
