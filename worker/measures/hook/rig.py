"""A rig on a bait of a known length: every place in mm from the trunk's nose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from worker.errors import Fault
from worker.measures.hook.along import held_at_nose, trunk_length
from worker.strands.strand import Strand
from worker.values.rigs import MATERIALS
from worker.values.stations import along

ACROSS_AT = {"wacky": 0.5, "neko": 0.6}
"""Where a hook crosses that does not hold the nose, over the trunk's length (judgement)."""
POINT_OVER_SHANK = 0.45
"""Length of wire from the bend to the point, over the shank's (judgement)."""
EYE_IN_WIRES = 3.0
"""Across a hook's eye, in thicknesses of its wire (judgement)."""
HELD_BEHIND_MM = 10.0
"""So far past the hook's point a fish pulls on the bait itself (judgement)."""

FROM_THE_NOSE = ("texas", "jig_head", "nose")
"""Rigs in which all of the bait from the nose to the hook hangs on the line."""


@dataclass(frozen=True)
class Hook:
    """mm and g."""

    gape: float
    shank: float
    wire: float
    mass: float


@dataclass(frozen=True)
class Weight:
    """g, g/cm3, and mm along the trunk."""

    mass: float
    density: float
    station: float


@dataclass(frozen=True)
class Rig:
    """`station`: where the wire crosses the bait, mm along the trunk."""

    kind: str
    station: float
    hook: Hook
    weights: tuple[Weight, ...]

    @property
    def holds(self) -> tuple[float, float]:
        """The stretch of the trunk, mm, whose joints are held to the whole pull."""
        begin = 0.0 if self.kind in FROM_THE_NOSE else self.station - HELD_BEHIND_MM
        return begin, self.station + HELD_BEHIND_MM

    @property
    def hook_middle(self) -> float:
        """Where the hook's mass acts, mm along the trunk; below 0 ahead of the nose (judgement)."""
        match self.kind:
            case "texas" | "jig_head":
                return 0.55 * self.hook.shank
            case "nose":
                return self.station - 0.45 * self.hook.shank
            case _:
                return self.station

    @property
    def hold_station(self) -> float | None:
        """Where the hook leaves the nose, mm along the trunk; None where that is not said."""
        return self.station if self.kind == "nose" else None


def hook_of(told: Mapping[str, Any]) -> Hook:
    """The hook in normal form; its mass by its wire's length where it is not said: steel, 7.85 g/cm3.

    Shank, a half circle through the middle of the bend's wire, the point's part and the eye.
    """
    gape, shank, wire = (float(told[name]) for name in ("gape", "shank", "wire"))
    length = shank * (1 + POINT_OVER_SHANK) + math.pi * ((gape + wire) / 2 + EYE_IN_WIRES * wire)
    mass = math.pi / 4 * wire * wire * length / 1000 * MATERIALS["steel"]
    return Hook(gape, shank, wire, float(told.get("mass_g", mass)))


def rig_of(told: Mapping[str, Any], trunk: tuple[Strand, ...]) -> Rig:
    """The rig in normal form on a trunk."""
    hook, kind, length = hook_of(told["hook"]), str(told["kind"]), trunk_length(trunk)
    weights = tuple(
        Weight(float(each["mass_g"]), MATERIALS[each["material"]], along(each["station"], length))
        for each in told["weights"]
    )
    if "station" in told:
        station = along(told["station"], length)
    elif kind == "nose":
        station = min(held_at_nose(trunk), length / 2)
    else:
        station = ACROSS_AT[kind] * length if kind in ACROSS_AT else hook.shank
    return Rig(kind, station, hook, weights)


def rig_faults(told: Mapping[str, Any] | None, trunk: tuple[Strand, ...]) -> Iterator[Fault]:
    """What of a rig in normal form, if there is one, lies behind the trunk's end."""
    if told is None:
        return
    rig, length = rig_of(told, trunk), trunk_length(trunk)
    allowed = {"maximum": math.floor(10 * length) / 10, "unit": "mm"}
    if rig.kind == "nose" and rig.station > length / 2:
        detail = f"A nose hook would sit {rig.station:.4g} mm behind the nose, past the middle of {length:.4g} mm."
        yield Fault("/rig/station", "behind-the-middle", detail, {**allowed, "maximum": math.floor(5 * length) / 10})
    elif rig.station > length:
        pointer = "/rig/station" if "station" in told else "/rig/hook/shank"
        detail = f"The hook would cross the bait {rig.station:.4g} mm from its nose; it is {length:.4g} mm long."
        yield Fault(pointer, "beyond-the-tail", detail, allowed)
    for number, weight in enumerate(rig.weights):
        if weight.station > length:
            detail = f"A weight would sit {weight.station:.4g} mm from the nose; the bait is {length:.4g} mm long."
            yield Fault(f"/rig/weights/{number}/station", "beyond-the-tail", detail, allowed)
