"""What the parameters of a grub cannot be together."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.grub_tail import longest, of_length, shortest, tail_of
from worker.styles.style import Params
from worker.styles.tails import reach_of
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number

DEEPEST_RIB, DEEPEST_OF_PITCH = 0.2, 0.6
"""Greatest rib depth over the body's diameter at its tail, and over the pitch (judgement)."""
STOUTEST = 1.8
"""Least length of a body over its diameter (judgement)."""
WIDEST_ROOT = 0.85
"""Greatest size of a tail at its root over the body's end (judgement)."""


def faults(params: Params) -> Iterator[Fault]:
    """What the numbers cannot be."""
    yield from [*_body(params), *_blade(params)] or _tail_faults(params)


def limb_faults(params: Params, trunk: Strand, tails: tuple[Strand, ...]) -> Iterator[Fault]:
    """What the tails cannot be on their body."""
    yield from turn_faults(tails[0], "/params/tail_width")


def _body(params: Params) -> Iterator[Fault]:
    length, width, taper = (number(params, name) for name in ("body_length", "diameter", "taper"))
    widest = math.floor(10 * length / STOUTEST) / 10
    if width > widest:
        detail = f"A body {width:g} mm thick is too stout for its {length:g} mm; up to {widest:g} mm is not."
        yield Fault("/params/diameter", "body-too-stout", detail, {"minimum": 5.0, "maximum": widest, "unit": "mm"})
    pitch, depth = number(params, "rib_pitch"), number(params, "rib_depth")
    deepest = math.floor(1e4 * min(DEEPEST_RIB * taper * width, DEEPEST_OF_PITCH * pitch)) / 1e4
    if depth > deepest:
        detail = f"Ribs {depth:g} mm deep leave too little of the body, or between them; {deepest:.3g} mm does not."
        yield Fault("/params/rib_depth", "ribs-too-deep", detail, {"minimum": 0.0, "maximum": deepest, "unit": "mm"})


def _blade(params: Params) -> Iterator[Fault]:
    room = math.floor(10 * WIDEST_ROOT * number(params, "taper") * number(params, "diameter")) / 10
    grown = (room, "A tail grows out of the body's end")
    for name, (most, what) in (
        ("tail_tip_thickness", (number(params, "tail_root_thickness"), "A tail thins out")),
        ("tail_wrist", min(grown, (number(params, "tail_width"), "A wrist is no wider than its tail"))),
        ("tail_root_thickness", grown),
    ):
        if number(params, name) > most:
            detail = f"{what}: at most {most:g} mm, not {number(params, name):g} mm."
            yield Fault(f"/params/{name}", "too-thick", detail, {"maximum": most, "unit": "mm"})


def _tail_faults(params: Params) -> Iterator[Fault]:
    """The tail takes up the rest of the length: there has to be enough for its curl, and not three bodies' worth."""
    straight, body = params["length_is"] == "laid_straight", number(params, "body_length")
    tail, far = tail_of(params, 1.0), longest(params)
    near = shortest(tail, far)
    if near is None:
        detail = (
            f"A tail {number(params, 'tail_width'):g} mm wide that turns by {tail.degrees:g} degrees on a radius of "
            f"{tail.inner:g} mm is out of proportion with a body of {body:g} mm; take a narrower one or less of a turn."
        )
        yield Fault("/params/tail_curl", "curl-too-long", detail, None)
        return
    least, most = (each if straight else reach_of(of_length(tail, each)) for each in (near, far))
    length = number(params, "length")
    low, high = math.ceil(10 * (body + least)) / 10, math.floor(10 * (body + most)) / 10
    if not low <= length <= high:
        detail = (
            f"Behind a body of {body:g} mm this tail needs a length from {low:g} to {high:g} mm, not {length:g} mm: "
            "it curls on no less, and is out of proportion beyond."
        )
        yield Fault("/params/length", "tail-length", detail, {"minimum": low, "maximum": high, "unit": "mm"})
