"""Room between the limbs of a craw: what runs into its neighbour is told, with what would part the two."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP, from_middle, gap
from worker.styles.mending import MOST_TRIES, Turn, values_on_the_way
from worker.styles.style import Params
from worker.values.parameter import Parameter

BESIDE = 0.0
"""Least gap from a feeler to what stands beside it, mm: their roots share the core's end, where walls are soon thin,
and only what runs into each other cannot be cast (judgement)."""
LIMBS = ("claw", "leg", "feeler")

Close = tuple[Strand, Strand | None, float, float]
"""A limb, the one that it is too near to (None: its own counterpart on the right), how far apart they are and have to
be, mm."""

_TURNS: dict[tuple[str, str], tuple[Turn, ...]] = {
    ("leg", "leg"): (("leg_pairs", False), ("leg_root", False), ("body_share", True), ("leg_sweep", False)),
    ("claw", "leg"): (("leg_length", False), ("leg_sweep", False), ("claw_spread", False), ("leg_root", False)),
    ("claw", "feeler"): (("feelers", False), ("feeler_root", False), ("feeler_length", False), ("claw_spread", True)),
    ("leg", "feeler"): (("feeler_length", False), ("leg_length", False), ("leg_sweep", False)),
    ("feeler", "feeler"): (("feelers", False), ("feeler_root", False), ("core_width", True)),
}
"""What parts two kinds of limbs, the likeliest first, and whether it grows."""


def too_close(strands: Sequence[Strand]) -> Iterator[Close]:
    """Every two left limbs with less between them than they need; fingers and their palm are one claw."""
    limbs = [strand for strand in strands if strand.kind in LIMBS and not strand.name.startswith("right")]
    for one, other in combinations(limbs, 2):
        if one.kind == other.kind == "claw":
            continue
        needed = BESIDE if "feeler" in (one.kind, other.kind) else LEAST_GAP
        between = gap(one, other)
        if between < needed:
            yield one, other, between, needed
    for limb in limbs:
        if limb.kind == "feeler" and limb.name.startswith("left") and from_middle(limb) < BESIDE / 2:
            yield limb, None, 2 * from_middle(limb), BESIDE


def room_faults(
    params: Params,
    made: Sequence[Strand],
    strands: Callable[[Params], tuple[Strand, ...]],
    parameters: Mapping[str, Parameter],
) -> Iterator[Fault]:
    """One fault for every two kinds of limbs that are too near, at the first parameter that parts them.

    `made` are the strands of `params`; `strands` of others raise ValueError where their numbers have faults. Up to
    2 MOST_TRIES craws are made for each fault: one that differs in one kind of limb takes a hundredth of a second.
    """
    told = set()
    for one, other, between, needed in too_close(made):
        kinds = _kinds(one, other)
        if kinds in told:
            continue
        told.add(kinds)
        would = _would_do(params, strands, parameters, kinds)
        name = would[0][0].name if would else _TURNS[kinds][0][0]
        detail = _sentence(one, other, between, needed)
        if not would:
            yield Fault(f"/params/{name}", "limbs-too-close", detail, None)
            continue
        words = " or ".join(
            f"{each.title.lower()} {value:g}{each.unit and ' ' + each.unit}" for each, value, _ in would
        )
        parameter, value, up = would[0]
        allowed = {"minimum" if up else "maximum": value, **({"unit": parameter.unit} if parameter.unit else {})}
        yield Fault(f"/params/{name}", "limbs-too-close", f"{detail} Would do: {words}.", allowed)


def _would_do(
    params: Params,
    strands: Callable[[Params], tuple[Strand, ...]],
    parameters: Mapping[str, Parameter],
    kinds: tuple[str, str],
) -> list[tuple[Parameter, float, bool]]:
    """Of every parameter that parts these kinds the nearest value tried that does."""
    tries = 2 * MOST_TRIES
    found: list[tuple[Parameter, float, bool]] = []
    for name, up in _TURNS[kinds]:
        for value in values_on_the_way(parameters[name], float(params[name]), up=up):
            if tries == 0:
                return found
            tries -= 1
            try:
                others = strands({**params, name: int(value) if parameters[name].kind == "whole" else value})
            except (RootOutside, HumpsHidden, ValueError):
                continue
            if all(_kinds(one, other) != kinds for one, other, _, _ in too_close(others)):
                found.append((parameters[name], value, up))
                break
    return found


def _kinds(one: Strand, other: Strand | None) -> tuple[str, str]:
    first, second = sorted((one.kind, one.kind if other is None else other.kind), key=LIMBS.index)
    return first, second


def _sentence(one: Strand, other: Strand | None, between: float, needed: float) -> str:
    name = "its counterpart on the right" if other is None else f"the {other.name}"
    if between <= 0:
        return f"The {one.name} runs into {name}."
    return f"There are {between:.2g} mm between the {one.name} and {name}; {needed:g} mm are the least."
