"""What a hollow bait is dipped over: the shape of its inside with a shank to hold it by."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.checks.subject import Subject
from worker.errors import GeometryFailed
from worker.mould.cavity import cavity_of
from worker.mould.core import Pin, bounds, pin_of
from worker.mould.injected import material_of
from worker.mould.mould import Filled, Mould
from worker.mould.shapes import Mesh, turned
from worker.solid.carve import carved, cutter
from worker.solid.join import joined
from worker.solid.solid import Solid

SHANK, EYE, EYE_AT = 30.0, 3.0, 6.0
"""Length of the shank beyond the bait's end, the diameter of the hole to hang it by and how far that is from its end,
mm (judgement)."""
INSIDE = "inside"


def dipped(subject: Subject, solid: Solid, asked: Mapping[str, Any]) -> Mould:
    """The form of a bait with an inside that is open at an end. Raises GeometryFailed."""
    material, wall = material_of(asked)
    tolerance = subject.request.tolerance
    whole = joined(subject.strands, tolerance)
    cavity = cavity_of(subject, whole, solid, {"parting": {"turn_deg": 0, "height": 0}})
    hollow = next(each for each in subject.hollows if each.kind == INSIDE)
    pin = pin_of(hollow, cavity.frame, bounds(cavity.bait), asked["core_draft"], tolerance)
    if not isinstance(pin, Pin):
        raise GeometryFailed(f"Nothing can be dipped: {pin}.")
    form = carved([pin.mesh, pin.shank(SHANK, 0.0)], [cutter([_eye(pin)])])
    volume = solid.volume * cavity.frame.growth**3
    return Mould(asked, material, wall, cavity, None, {"core": form}, Filled(volume), 0.0, (pin,))


def _eye(pin: Pin) -> Mesh:
    toward = -1.0 if pin.end == "nose" else 1.0
    at = (pin.mouth[0] + toward * (SHANK - EYE_AT), pin.mouth[1])
    across = min(EYE, pin.radius)
    return turned(at, [(pin.z - 2 * pin.radius, across / 2), (pin.z + 2 * pin.radius, across / 2)])
