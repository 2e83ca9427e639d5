"""What is wrong with a fit's request beyond single values."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from worker.errors import Fault
from worker.fit.axes import MOST_FREE, free_parameters, section_of
from worker.fit.figures import WITH_A_RIG
from worker.fit.lobes import LOBED
from worker.fit.rules_table import TEST_PIECES
from worker.request.faults import pointer
from worker.styles import STYLES
from worker.styles.style import Style


def free_faults(style: Style, members: Mapping[str, Any]) -> Iterator[Fault]:
    """Nothing free or too much, and what is both fixed and free. `members` as they were sent."""
    free = members.get("free", {})
    if not isinstance(free, Mapping):
        return
    known = free_parameters(style)
    yield from nothing_free(members)
    for name in (name for name in free if name in known):
        section = section_of(name)
        fixed = members.get(section, {})
        null = section == "plastic" and isinstance(fixed, Mapping) and fixed.get(name, "") is None  # told as such
        if isinstance(fixed, Mapping) and name in fixed and not null:
            detail = f"{name} is fixed here and free in `free`; it is one or the other."
            yield Fault(pointer(section, name), "fixed-and-free", detail, {"members": ["free"]})


def nothing_free(members: Mapping[str, Any]) -> Iterator[Fault]:
    """Nothing free, or too much."""
    count = len(members.get("free", {}))
    if not 0 < count <= MOST_FREE:
        detail = f"From 1 to {MOST_FREE} numbers and choices may be free; {count} are."
        yield Fault("/free", "not-so-many", detail, {"minProperties": 1, "maxProperties": MOST_FREE})


def misplaced_faults(style: Style, top: Mapping[str, Any], members: Mapping[str, Any]) -> Iterator[Fault]:
    """Figures that are asked of a bait that has none of the kind, and maker's terms of what is no bait."""
    if "maker" in members and style.built_in in TEST_PIECES:
        choices = [each for each in STYLES if each not in TEST_PIECES]
        yield Fault("/style", "no-bait", f"A {style.built_in} is a test piece: no fish takes it.", {"choices": choices})
    if "lobes_touching" in top.get("require", {}) and style.built_in not in LOBED:
        detail = f"Baits of this style have no lobes; {', '.join(LOBED)} has."
        yield Fault("/require/lobes_touching", "no-such-figure", detail, {"choices": list(LOBED)})
    if "rig" in members:
        return
    asked = [(("require", name), name) for name in top.get("require", {})]
    asked += [(("goal", way), name) for way, name in (top.get("goal") or {}).items() if isinstance(name, str)]
    for place, name in asked:
        if name in WITH_A_RIG:
            detail = f"{name} is of a bait on its rig; tell the `rig`."
            yield Fault(pointer(*place), "needs-a-rig", detail, {"members": ["rig"]})
