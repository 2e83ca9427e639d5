"""What a mould is in numbers: all that a shot, a clamp or a bench sheet has to know of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class MouldFigures:
    """Sizes of one mould, mm, mm2, mm3.

    `kind` and `material` as the request has them. `cavity_volume` is of one cavity: the bait grown by the plastic's
    shrinkage. `channels_volume` is what stays on the bait and is cut off, beside the sprue: runners and gates; vents
    and the injector's seat hold no plastic. `projected_area` is the plan, on the parting plane, of all that the plastic
    fills: pressure in the mould times this is what clamps hold. A gate is a slot: `gate_depth` is its least side,
    across the parting plane. `thickest` is the diameter of the greatest ball in the cavity, `thickest_area` the section
    there. A mould without gates (`open_pour`, `dipped`) has 0 for what it has not.
    """

    kind: str
    material: str
    cavities: int
    cavity_volume: float
    channels_volume: float
    sprue_volume: float
    sprue_diameter: float
    sprue_length: float
    runner_length: float
    runner_diameter: float
    projected_area: float
    gate_width: float
    gate_depth: float
    gate_length: float
    thickest: float
    thickest_area: float
    block_length: float
    block_width: float
    block_height: float

    @property
    def shot_volume(self) -> float:
        """mm3 of plastic that one filling takes."""
        return self.cavities * self.cavity_volume + self.channels_volume + self.sprue_volume
