"""What a shot has to know of its mould: the mould's own figures, or plain assumptions where there is none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.measures.strand.thickest import Thickest
from worker.values.mould_figures import MouldFigures
from worker.values.mould_materials import mould_material

SPRUE_SHARE, RUNNER_SHARE = 0.10, 0.05
"""Of the cavity: what sprue, and runner and gate, are taken to hold where no mould tells (judgement)."""
LEAST_GATE_MM = 3.0
OPEN_KINDS = ("open_pour", "dipped")
"""Kinds of moulds without channels."""
GATE_SHARE, GATE_LENGTH_MM = 0.45, 4.0
"""Of the thickest section, the gate's greater side: 30 to 60 % is common practice, without a source."""


@dataclass(frozen=True)
class Channels:
    """The mould of a shot, and in sentences what of it is assumed."""

    mould: MouldFigures
    assumed: tuple[str, ...] = ()

    @property
    def gated(self) -> bool:
        """Whether the plastic runs through a gate."""
        return self.mould.gate_depth > 0 and self.mould.gate_width > 0


def assumed_mould(cavity: float, plan: float, thickest: Thickest, scale: float, normal: Mapping[str, Any]) -> Channels:
    """Cavities of `cavity` mm3 and `plan` mm2 each; `scale`: their lengths over the bait's.

    `normal` is the request's form, of whose mould nobody knows the channels before it is built; without one, one cavity
    is taken in what its master is cast in, else milled in aluminium.
    """
    said: Mapping[str, Any] = normal.get("mould", {"kind": "injected", "cavities": 1})
    material = mould_material(normal)
    shot, count = said["kind"] not in OPEN_KINDS, int(said["cavities"])
    across = thickest.least * scale
    gate = max(LEAST_GATE_MM, GATE_SHARE * across)
    mould = MouldFigures(
        kind=said["kind"],
        material=material.name,
        cavities=count,
        cavity_volume=cavity,
        channels_volume=RUNNER_SHARE * cavity * count if shot else 0.0,
        sprue_volume=SPRUE_SHARE * cavity * count if shot else 0.0,
        sprue_diameter=across if shot else 0.0,
        sprue_length=0.0,
        runner_length=0.0,
        runner_diameter=0.0,
        projected_area=plan * count,
        gate_width=gate if shot else 0.0,
        gate_depth=LEAST_GATE_MM if shot else 0.0,
        gate_length=GATE_LENGTH_MM if shot else 0.0,
        thickest=across,
        thickest_area=thickest.area * scale * scale,
        block_length=0.0,
        block_width=0.0,
        block_height=0.0,
    )
    made = f"{'cast' if material.cast else 'milled'} in {material.name}"
    first = f"No mould is asked for: one cavity {made} is assumed."
    if "mould" in normal:
        first = f"The figures of the mould in {material.name} come with a build; until then they are assumed."
    if not shot:
        return Channels(mould, (first,))
    return Channels(
        mould,
        (
            first,
            f"Sprue, runner and gate are taken to hold {100 * (SPRUE_SHARE + RUNNER_SHARE):.0f} % of the cavities, "
            f"each gate to be a slot of {gate:.3g} by {LEAST_GATE_MM:g} mm and {GATE_LENGTH_MM:g} mm long.",
            "The area that pushes the halves apart is the baits' as seen from above, without channels.",
        ),
    )
