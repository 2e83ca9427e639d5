"""Faults of names: two of one name, unknown parents, strands that grow out of each other, and how many there are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.open_form.declared import MOST_COPIES

Told = Mapping[str, Any]


def name_faults(told: Sequence[Told]) -> Iterator[Fault]:
    """Every fault of the names."""
    names = [each["name"] for each in told]
    first = {name: number for number, name in reversed(list(enumerate(names)))}
    found = [
        Fault(f"/strands/{number}/name", "name-taken", f"/strands/{first[name]} is named {name!r} already.")
        for number, name in enumerate(names)
        if first[name] != number
    ]
    for number, each in enumerate(told):
        parent = each.get("parent")
        if parent is not None and parent not in first:
            detail = f"There is no strand named {parent!r}."
            others = sorted(set(first) - _grown_out_of(each["name"], told))
            allowed = {"choices": others} if others else None
            found.append(Fault(f"/strands/{number}/parent", "unknown-strand", detail, allowed))
    if found:
        yield from found
        return
    round_ = [number for number, each in enumerate(told) if _comes_back(each, told, first)]
    for number in round_:
        detail = f"{names[number]!r} grows out of itself by way of its parents; one of them has to do without."
        yield Fault(f"/strands/{number}/parent", "parents-in-a-circle", detail)
    if not round_:
        yield from _counted(told)


def _grown_out_of(name: str, told: Sequence[Told]) -> set[str]:
    """A strand and all that grows out of it: what it cannot grow out of itself."""
    grown: set[str] = {name}
    for _ in told:
        grown |= {each["name"] for each in told if each.get("parent") in grown}
    return grown


def _comes_back(each: Told, told: Sequence[Told], first: Mapping[str, int]) -> bool:
    """Whether the parents of a strand lead back to it."""
    above = each
    for _ in told:
        if "parent" not in above:
            return False
        above = told[first[above["parent"]]]
        if above is each:
            return True
    return False


def _counted(told: Sequence[Told]) -> Iterator[Fault]:
    counts = copies_of(told)
    total = sum(counts.values())
    if total > MOST_COPIES:
        worst = max(counts, key=lambda name: counts[name])
        number = next(number for number, each in enumerate(told) if each["name"] == worst)
        detail = (
            f"Stations and sides multiplied out, these strands become {total}, {counts[worst]} of them of "
            f"{worst!r}; at most {MOST_COPIES} are taken."
        )
        yield Fault(f"/strands/{number}", "too-many-copies", detail, {"maximum": MOST_COPIES})


def copies_of(told: Sequence[Told]) -> dict[str, int]:
    """How many strands each told one becomes, multiplied out down the tree before any is made."""
    by_name = {each["name"]: each for each in told}
    counts: dict[str, int] = {}
    for each in told:
        count, above = own_copies(each), each
        while "parent" in above:
            above = by_name[above["parent"]]
            count *= own_copies(above)
        counts[each["name"]] = count
    return counts


def own_copies(each: Told) -> int:
    """How many there are of a strand or hollow on one parent."""
    stations = each.get("stations", [0])
    count = stations["count"] if isinstance(stations, Mapping) else len(stations)
    return int(count) * (2 if each.get("both_sides") else 1)
