"""What may be turned where a strand in the open form meets another again and closes a ring."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from worker.open_form import declared as d
from worker.values.dial import Dial, dial

Told = Mapping[str, Any]


def ring_dials(told: Sequence[Told], taken_out: Sequence[Told], number: int) -> Iterator[Dial]:
    """Of the strand told at `number`: a shorter path, another yaw, the bait without it."""
    each = told[number]
    name = f"the {each['name']}"

    def patched(changed: Told) -> Mapping[str, Any]:
        # A merge patch replaces lists whole (RFC 7396), so every strand is in it.
        return {"strands": [changed if place == number else other for place, other in enumerate(told)]}

    if "length" in each["path"]:
        yield _shorter(each, patched, f"{name} {{value}} mm long")
    if "parent" in each:
        yield from _turned(each, patched, name)
    gone = _with_what_grows_on(told, each["name"])
    if len(gone) < len(told) and not any(other.get("strand") in gone for other in taken_out):
        rest = {"strands": [other for other in told if other["name"] not in gone]}
        yield Dial(1, lambda steps: rest, lambda steps: f"without the {' and the '.join(gone)}")


def _shorter(each: Told, patched: Callable[[Told], Mapping[str, Any]], words: str) -> Dial:
    def patch(value: float) -> Mapping[str, Any]:
        return patched({**each, "path": {**each["path"], "length": value}})

    return dial(d.PATH_LENGTH, float(each["path"]["length"]), False, patch, words)


def _turned(each: Told, patched: Callable[[Told], Mapping[str, Any]], name: str) -> Iterator[Dial]:
    """Further round from straight along its parent, and then nearer to it; on the side that it has."""
    present = float(each["yaw"])

    def turned(degrees: int) -> float:
        return round(math.copysign(abs(present) + degrees, present), 6)

    for way, most in ((1, int(d.YAW.maximum - abs(present))), (-1, int(abs(present)))):

        def patch(steps: int, way: int = way) -> Mapping[str, Any]:
            return patched({**each, "yaw": turned(way * steps)})

        def words(steps: int, way: int = way) -> str:
            return f"{name} at a yaw of {turned(way * steps):g} degrees"

        yield Dial(most, patch, words)


def _with_what_grows_on(told: Sequence[Told], name: str) -> list[str]:
    """Its name, and those of all strands that hang on it, in their order."""
    gone = {name}
    for _ in told:
        gone |= {each["name"] for each in told if each.get("parent") in gone}
    return [each["name"] for each in told if each["name"] in gone]
