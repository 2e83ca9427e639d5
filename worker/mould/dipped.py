"""What a hollow bait is dipped over: the shape of its inside with a shank to hold it by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.mould.cavity import cavity_of
from worker.mould.core import CUT, Pin, bounds, pin_of
from worker.mould.injected import material_of
from worker.mould.mould import Filled, Mould
from worker.solid.carve import carved, cutter
from worker.solid.join import joined
from worker.solid.shapes import Mesh, turned
from worker.solid.solid import Solid
from worker.solid.trunk import meshes_of_one

SHANK, EYE, EYE_AT = 30.0, 3.0, 6.0
"""Length of the shank beyond the bait's end, the diameter of the hole to hang it by and how far that is from its end,
mm (judgement)."""
INSIDE = "inside"


def dipped(subject: Subject, solid: Solid, asked: Mapping[str, Any]) -> Mould:
    """The form of a bait with an inside: its shape, with a shank where it can be drawn out.

    What else is hollow is named as uncored. Raises GeometryFailed.
    """
    material, wall = material_of(asked)
    tolerance = subject.request.tolerance
    whole = joined(subject.strands, tolerance)
    cavity = cavity_of(subject, whole, solid, (0.0, 0.0))
    insides = [each for each in subject.hollows if each.kind == INSIDE]
    found = [pin_of(each, cavity.frame, bounds(cavity.bait), asked["core_draft"], tolerance) for each in insides]
    number = next((number for number, each in enumerate(found) if isinstance(each, Pin)), 0)
    pin = found[number]
    lost = [each for each in subject.hollows if each.kind != CUT and each is not insides[number]]
    reasons = [f"the {each.name} is not left by dipping: make it in the bait afterwards" for each in lost]
    pins: tuple[Pin, ...]
    if isinstance(pin, Pin):
        pins, form = (pin,), carved(cutter([pin.mesh, pin.shank(SHANK, 0.0)]), [cutter([_eye(pin)])])
    else:
        vertices, triangles = meshes_of_one(insides[number], tolerance)[0]
        pins, form = (), carved(cutter([(cavity.frame.to_mould(vertices), triangles)]), [])
        reasons.insert(0, pin)
    volume = solid.volume * cavity.frame.growth**3
    return Mould(asked, material, wall, cavity, None, {"core": form}, Filled(volume), 0.0, pins, tuple(reasons))


def _eye(pin: Pin) -> Mesh:
    toward = -1.0 if pin.end == "nose" else 1.0
    at = (pin.mouth[0] + toward * (SHANK - EYE_AT), pin.mouth[1])
    across = min(EYE, pin.radius)
    return turned(at, [(pin.z - 2 * pin.radius, across / 2), (pin.z + 2 * pin.radius, across / 2)])
