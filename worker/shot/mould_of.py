"""What a shot has to know of its mould: the mould's own figures, or plain assumptions where there is none."""

from __future__ import annotations

from dataclasses import dataclass

from worker.measures.strand.thickest import Thickest
from worker.mould.figures import MouldFigures

SPRUE_SHARE, RUNNER_SHARE = 0.10, 0.05
"""Of the cavity: what sprue, and runner and gate, are taken to hold where no mould tells (judgement)."""
LEAST_GATE_MM = 3.0
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


def assumed_mould(cavity: float, plan: float, thickest: Thickest, scale: float) -> Channels:
    """One injected cavity of `cavity` mm3 and `plan` mm2, milled in aluminium; `scale`: its lengths over the bait's."""
    across = thickest.least * scale
    gate = max(LEAST_GATE_MM, GATE_SHARE * across)
    mould = MouldFigures(
        kind="injected",
        material="aluminium",
        cavities=1,
        cavity_volume=cavity,
        channels_volume=RUNNER_SHARE * cavity,
        sprue_volume=SPRUE_SHARE * cavity,
        sprue_diameter=across,
        sprue_length=0.0,
        runner_length=0.0,
        runner_diameter=0.0,
        projected_area=plan,
        gate_width=gate,
        gate_depth=LEAST_GATE_MM,
        gate_length=GATE_LENGTH_MM,
        thickest=across,
        thickest_area=thickest.area * scale * scale,
        block_length=0.0,
        block_width=0.0,
        block_height=0.0,
    )
    return Channels(
        mould,
        (
            "No mould is asked for: one cavity milled in aluminium is assumed.",
            f"Sprue, runner and gate are taken to hold {100 * (SPRUE_SHARE + RUNNER_SHARE):.0f} % of the cavity, the "
            f"gate to be a slot of {gate:.3g} by {LEAST_GATE_MM:g} mm and {GATE_LENGTH_MM:g} mm long.",
            "The area that pushes the halves apart is the bait's as seen from above, without channels.",
        ),
    )
