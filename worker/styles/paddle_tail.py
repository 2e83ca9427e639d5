"""The paddle tail: a fish's body that thins to a wrist, and a paddle across it that makes the tail kick."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.attach import attach
from worker.strands.strand import Strand
from worker.styles.dress import with_dress
from worker.styles.one_trunk import OneTrunk
from worker.styles.paddle_tail_body import FLARE, STEM, PaddleTail
from worker.styles.paddle_tail_parameters import EVERY
from worker.styles.style import Params, Remedy, Style
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number

THICKEST_STEM = 0.7
"""Greatest thickness of the stem where it leaves the body, over the body's (judgement)."""
LEAST_FALL = 0.12
"""Least share of the length over which the body falls from its peak to the stem (judgement)."""
LEAST_FLARE = 0.6
"""Least distance from the wrist to the paddle over the wrist's height (judgement)."""
LEAST_WRIST = 1.2
"""Thinnest wrist, mm: what fills in aluminium (judgement)."""
THICKEST_PADDLE = 0.7
"""Greatest thickness of a paddle over its smaller size: its rim's round takes most of it (judgement)."""
SMALLEST_PADDLE = 1.3
"""Least size of a paddle over the stem's where they meet (judgement)."""


def _trunk(params: Params) -> Strand:
    return PaddleTail(params).body


def _limbs(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    made = PaddleTail(params)
    stem = attach(made.stem, trunk, 0.0)
    return stem, attach(made.paddle, stem, 0.0)


def _faults(params: Params) -> Iterator[Fault]:
    made = PaddleTail(params)
    yield from [*_wrist(made), *_paddle(params, made)] or _places(params, made)


def _limb_faults(params: Params, trunk: Strand, limbs: tuple[Strand, ...]) -> Iterator[Fault]:
    yield from turn_faults(limbs[0], "/params/paddle_angle")


def _wrist(made: PaddleTail) -> Iterator[Fault]:
    for name, wrist, of in zip(("width", "height"), made.wrist, made.size, strict=True):
        least = math.ceil(1e4 * LEAST_WRIST / made.length) / 1e4
        most = math.floor(1e4 * THICKEST_STEM * of / STEM / made.length) / 1e4
        if not LEAST_WRIST - 1e-9 <= wrist <= most * made.length + 1e-9:
            detail = f"A wrist of {wrist:.3g} mm does not fill, or is none in a body of {of:.3g} mm; "
            detail += f"{least:g} to {most:g} of the length is one." if least <= most else "take a stouter body."
            allowed = {"minimum": least, "maximum": most} if least <= most else None
            yield Fault(f"/params/wrist_{name}_share", "wrist-size", detail, allowed)


def _paddle(params: Params, made: PaddleTail) -> Iterator[Fault]:
    for name, wrist, size in zip(("width", "height"), made.wrist, made.paddle_size, strict=True):
        least = math.ceil(1e4 * SMALLEST_PADDLE * FLARE * wrist / made.length) / 1e4
        if size < least * made.length - 1e-9:
            detail = f"A paddle of {size:.3g} mm vanishes in its stem; from {least:g} of the length up it does not."
            yield Fault(f"/params/paddle_{name}_share", "paddle-too-small", detail, {"minimum": least})
    thickest = math.floor(1e4 * THICKEST_PADDLE * min(made.paddle_size)) / 1e4
    if number(params, "paddle_thickness") > thickest:
        detail = f"A paddle {number(params, 'paddle_thickness'):g} mm thick is no disc; up to {thickest:.3g} mm it is."
        allowed = {"minimum": 2.0, "maximum": thickest, "unit": "mm"} if thickest >= 2 else None
        yield Fault("/params/paddle_thickness", "paddle-too-thick", detail, allowed)


def _places(params: Params, made: PaddleTail) -> Iterator[Fault]:
    """Peak, stem, wrist and paddle follow one another with room between them."""
    length, wrist = made.length, made.wrist[1]
    fall = made.sinks - made.peak
    if fall < LEAST_FALL * length - 1e-9:
        most = math.floor(100 * (made.sinks / length - LEAST_FALL) + 1e-9) / 100
        detail = f"The body has {max(fall, 0.0):.3g} mm to fall from its peak to the wrist; "
        detail += f"with the peak at {most:g} it has enough." if most >= 0.2 else "take a thinner wrist."
        allowed = {"minimum": 0.2, "maximum": most} if most >= 0.2 else None
        yield Fault("/params/peak_at", "peak-too-far-back", detail, allowed)
        return
    room = made.face[0] - made.wrist_x
    if room < LEAST_FLARE * wrist - 1e-9:
        most = math.floor(100 * (made.face[0] - LEAST_FLARE * wrist) / length + 1e-9) / 100
        detail = (
            f"Behind a wrist at {number(params, 'wrist_at'):g} there is no room for the paddle; at {most:g} there is."
        )
        yield Fault(
            "/params/wrist_at", "wrist-too-far-back", detail, {"minimum": 0.6, "maximum": most} if most >= 0.6 else None
        )


_MADE = OneTrunk(_trunk, _faults, _limbs, _limb_faults, root="wrist_at", behind=True)
_WRIST = (
    Remedy("wrist_height_share", up=True, text="a wrist {value} of the length high"),
    Remedy("wrist_width_share", up=True, text="a wrist {value} of the length wide"),
    Remedy("length", up=True, text="the same shape {value} mm long"),
)

PADDLE_TAIL = Style(
    name="paddle_tail",
    title="Paddle tail",
    summary="A fish's body that thins to a wrist; the paddle across its end catches the water and makes the tail kick.",
    sentence=(
        "A {length} {style}, {height_share} of its length high and {width_share} wide, its wrist "
        "{wrist_height_share}, its paddle {paddle_height_share}"
    ),
    parameters=EVERY,
    strands=_MADE.strands,
    hollows=_MADE.hollows,
    infeasible=_MADE.infeasible,
    example={
        "style": "paddle_tail",
        "label": "Sluice shad",
        "params": {"length": "4 in", "paddle_angle": 95, "wrist_height_share": 0.045},
        "plastic": {"grade": "soft"},
    },
    remedies=with_dress(
        {
            "joint_pull": (Remedy("height_share", up=True, text="a height of {value} of the length"),),
            "joint_pull of tail": _WRIST,
            "joint_pull of paddle": _WRIST,
            "thin_feature": _WRIST,
            "thin_feature of tail": _WRIST,
            "thin_feature of paddle": (Remedy("paddle_thickness", up=True, text="a paddle {value} mm thick"),),
        }
    ),
)
