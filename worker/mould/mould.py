"""A mould as it has been built: its parts, and what they are in numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from worker.mould.cavity import Cavity
from worker.mould.core import Pin
from worker.mould.faced import coming_out, on_the_best_plane
from worker.mould.plan import Plan
from worker.solid.solid import Solid
from worker.values.mould_figures import MouldFigures
from worker.values.mould_materials import MouldMaterial


@dataclass(frozen=True)
class Filled:
    """Volumes, mm3, of all cavities, of runners and gates and of the sprue, and the plan of the latter two, mm2."""

    cavities: float
    channels: float = 0.0
    sprue: float = 0.0
    channels_plan: float = 0.0


@dataclass(frozen=True)
class Mould:
    """`asked` in normal form. Parts lie as they are when closed, z = 0 the parting plane; mm.

    `plan` is None for what is dipped. `balance`: by what share of the block the parts, with all that is cut out of
    them, miss it. `uncored`: why what is hollow has no pin.
    """

    asked: Mapping[str, Any]
    material: MouldMaterial
    wall: float
    cavity: Cavity
    plan: Plan | None
    parts: dict[str, Solid]
    filled: Filled
    balance: float
    pins: tuple[Pin, ...] = ()
    uncored: tuple[str, ...] = ()

    @property
    def halves(self) -> dict[str, Solid]:
        """The parts with a parting face, by name."""
        return {name: part for name, part in self.parts.items() if name != "core"}

    @cached_property
    def coming_out(self) -> tuple[dict[str, Any], Cavity] | None:
        """The change of the face after which the bait comes out of two halves, if there is one, and the cavity then."""
        if len(self.halves) < 2:
            return None
        return coming_out(self.cavity, self.asked, self.material, self.pins)

    @cached_property
    def on_the_best_plane(self) -> Cavity | None:
        """The cavity of two halves as it is where no plane is asked for; None where none was."""
        if self.cavity.searched or len(self.halves) < 2:
            return None
        return on_the_best_plane(self.cavity, self.asked, self.material, lambda each: self.pins)

    @cached_property
    def figures(self) -> MouldFigures:
        """In numbers."""
        plan, filled = self.plan, self.filled
        gating = None if plan is None else plan.gating
        count = 1 if plan is None else len(plan.placed)
        columns, thickness = self.cavity.columns, self.cavity.thickness
        shadow = 0.0 if plan is None else count * float(columns.plan.sum()) * columns.cell**2
        length, width, height = self.parts["core"].extent if plan is None else plan.block.size
        return MouldFigures(
            kind=self.asked["kind"],
            material=self.material.name,
            cavities=count,
            cavity_volume=filled.cavities / count,
            channels_volume=filled.channels,
            sprue_volume=filled.sprue,
            sprue_diameter=0.0 if gating is None else 2 * gating.sprue.top,
            sprue_length=0.0 if gating is None else gating.sprue.length,
            runner_length=0.0 if gating is None else gating.channels.runner_length,
            runner_diameter=0.0 if gating is None else 2 * gating.channels.runner_radius,
            projected_area=shadow + filled.channels_plan,
            gate_width=0.0 if gating is None else gating.gate.width,
            gate_depth=0.0 if gating is None else gating.gate.depth,
            gate_length=0.0 if gating is None else gating.channels.gate_length,
            thickest=thickness.thickest,
            thickest_area=thickness.thickest_area if gating is None else gating.feed.area,
            block_length=length,
            block_width=width,
            block_height=height,
        )
