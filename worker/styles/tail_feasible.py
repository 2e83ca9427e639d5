"""What the parameters of tails cannot be: by their numbers alone, and once they stand on a trunk."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.style import Params
from worker.styles.tail_curl import line_of
from worker.styles.tail_measures import BLADED, Tail
from worker.styles.tail_parameters import TAIL_CURL, TAIL_LENGTH, TAIL_ROOT_THICKNESS, TAIL_WRIST
from worker.styles.tails import ALONE, reaches_at, tail_end
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter

WIDEST_STEM = 0.6
"""Greatest wrist of a kick tail over its paddle: with more there is no paddle to speak of (judgement)."""
WIDEST_ROOT = 0.9
"""Greatest size of a tail at its root over the trunk's end that it grows out of (judgement)."""


def tail_faults(params: Params) -> Iterator[Fault]:
    """Faults that the tail's own numbers have: asked first, since without them there is no trunk to be measured."""
    tail = Tail.of(params)
    if tail is None:
        return
    found = [*_blade(params, tail), *_count(tail)]
    if not found and tail.kind == "curl":
        found = list(_curl(params, tail))
    yield from found


def _blade(params: Params, tail: Tail) -> Iterator[Fault]:
    blade = tail.blade
    if blade.tip_thickness > blade.root_thickness and tail.kind in BLADED:
        detail = f"A tail thins out: at most {blade.root_thickness:g} mm at its tip, not {blade.tip_thickness:g} mm."
        yield Fault("/params/tail_tip_thickness", "tip-too-thick", detail, _most(blade.root_thickness))
    widest = WIDEST_STEM * blade.width if tail.kind == "kick" else blade.width
    if blade.wrist > widest + 1e-9 and tail.kind in (*BLADED, "kick"):
        most = math.floor(10 * widest + 1e-9) / 10
        detail = f"A tail {blade.width:g} mm wide has no wrist of {blade.wrist:g} mm; take at most {most:g} mm."
        yield Fault("/params/tail_wrist", "wrist-too-wide", detail, _most(most) if most >= TAIL_WRIST.minimum else None)
    shortest = _shortest(tail)
    if blade.length < shortest:
        least = math.ceil(100 * shortest / number(params, "length"))
        detail = (
            f"A tail {blade.length:.3g} mm long is too short for its width and thickness; "
            f"{shortest:.3g} mm would do, which is {least} % of the length."
        )
        allowed = {"minimum": least, "unit": "%"} if least <= TAIL_LENGTH.maximum else None
        yield Fault("/params/tail_length", "tail-too-short", detail, allowed)


def _shortest(tail: Tail) -> float:
    """Least length, mm, of a tail that can be told from its root (judgement)."""
    blade = tail.blade
    if tail.kind == "kick":
        return 2.5 * blade.wrist + blade.root_thickness
    if tail.kind in ("straight", "spike"):
        return blade.wrist
    return max(blade.width, 2 * blade.wrist, 3 * blade.root_thickness)


def _count(tail: Tail) -> Iterator[Fault]:
    if tail.count > 1 and tail.kind in ALONE:
        detail = f"There is one {tail.kind} tail to a bait; other tails go in two or three."
        yield Fault("/params/tail_count", "one-tail", detail, {"minimum": 1, "maximum": 1, "whole": True})
    elif tail.spread is None:
        detail = (
            f"{tail.count} tails {tail.blade.width:g} mm wide and {tail.blade.length:.3g} mm long grow into each "
            "other; narrower or longer ones do not, nor does one."
        )
        yield Fault("/params/tail_count", "tails-too-wide", detail, {"minimum": 1, "maximum": 1, "whole": True})


def _curl(params: Params, tail: Tail) -> Iterator[Fault]:
    """The turn has to go into the tail's length; what would do is looked for in whole steps."""
    if line_of(tail.blade, tail.degrees, tail.inner) is not None:
        return

    def does(**changes: float) -> bool:
        other = Tail.of({**params, **changes})
        return other is not None and line_of(other.blade, other.degrees, other.inner) is not None

    length = _nearest(
        range(math.floor(number(params, "tail_length")) + 1, int(TAIL_LENGTH.maximum) + 1), does, "tail_length"
    )
    turn = _nearest(range(math.ceil(tail.degrees) - 1, int(TAIL_CURL.minimum) - 1, -1), does, "tail_curl")
    would = [f"a tail of {length} %"] if length is not None else []
    would += [f"a curl of {turn} degrees"] if turn is not None else []
    detail = (
        f"A tail {tail.blade.length:.3g} mm long and {tail.blade.width:g} mm wide that turns by {tail.degrees:g} "
        f"degrees on a radius of {tail.inner:g} mm runs into itself or out of length; "
        f"{' or '.join(would) or 'a narrower or longer one'} would do."
    )
    allowed = None if turn is None else {"minimum": TAIL_CURL.minimum, "maximum": turn, "unit": "deg"}
    yield Fault("/params/tail_curl", "curl-too-tight", detail, allowed)


STRIDE = 8
"""Values that are passed over in the first look for one that does."""


def _nearest(values: range, does: Callable[..., bool], name: str) -> int | None:
    """The first of `values` that does, looked for in strides first: a tail that is long enough stays so."""
    strides = [*values[STRIDE - 1 :: STRIDE], *values[-1:]]
    rough = next((value for value in strides if does(**{name: float(value)})), None)
    if rough is None:
        return None
    place = values.index(rough)
    return next(value for value in values[max(place - STRIDE + 1, 0) : place + 1] if does(**{name: float(value)}))


def rooted_faults(params: Params, trunk: Strand, strands: tuple[Strand, ...]) -> Iterator[Fault]:
    """Faults of the tails on their trunk: roots that are thicker than it, turns too tight for their thickness."""
    tail = Tail.of(params)
    if tail is None:
        return
    _, depth = tail_end(trunk)
    aside, upward = (2 * WIDEST_ROOT * reach for reach in reaches_at(trunk, trunk.path.length - depth))
    bladed = tail.kind in BLADED
    wide = min(aside, upward) if not bladed else upward if tail.upright else aside
    if tail.blade.wrist > wide:
        yield _too_thick(TAIL_WRIST, tail.blade.wrist, wide)
    thick = aside if tail.upright else upward
    if bladed and tail.blade.root_thickness > thick:
        yield _too_thick(TAIL_ROOT_THICKNESS, tail.blade.root_thickness, thick)
    for strand in strands:
        if strand.kind == "tail" and not strand.name.startswith("right"):
            yield from turn_faults(strand, "/params/tail_width")


def _too_thick(parameter: Parameter, size: float, room: float) -> Fault:
    most = math.floor(room * 10) / 10
    does = most >= parameter.minimum
    would = f"at most {most:g} mm does" if does else "give the body a fuller end"
    detail = f"A tail {size:g} mm wide or thick at its root does not grow out of the body's end; {would}."
    return Fault(f"/params/{parameter.name}", "root-too-thick", detail, _most(most) if does else None)


def _most(value: float) -> dict[str, object]:
    return {"maximum": value, "unit": "mm"}
