"""What may be turned to mend a bait in the open form. A merge patch replaces lists whole: each holds every strand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from worker.open_form import declared as d
from worker.values.declare import share
from worker.values.dial import Dial, dial
from worker.values.parameter import Parameter

Told = Mapping[str, Any]

THICKER = share("thicker", "Thicker", "Girth over what it was, more.", 0.0, 0.0, 200.0, 5.0, "%")
LEAST_SECTION = d.GIRTH_WIDTH
"""Sections are made thicker by its steps, up to its greatest."""


def dials(told: Sequence[Told], taken_out: Sequence[Told], check: str) -> Iterator[Dial]:
    """The best first. Checks are named as those who ask for remedies name them: "joint_pull of leg"."""
    question, _, kind = check.partition(" of ")
    meant = [number for number, each in enumerate(told) if _is(each, kind)]
    if not meant:
        return
    name = f"{kind}s" if kind else "the trunk"
    strands = _Strands(told, meant, name)
    match question:
        case "joint_pull":
            yield from strands.relief()
            if kind:
                yield from strands.root_blend()
            yield strands.thicker()
        case "overlap":
            yield from strands.relief()
        case "single_piece":
            yield from strands.relief()
            yield from _without_hollows(taken_out)
        case "thin_feature":
            yield strands.not_thinner()
            yield from strands.relief()


def _is(each: Told, kind: str) -> bool:
    return each["kind"] == kind if kind else "parent" not in each


class _Strands:
    """The dials of the strands meant, those of one kind."""

    def __init__(self, told: Sequence[Told], meant: Sequence[int], name: str) -> None:
        self.told, self.meant, self.name = told, meant, name

    def _patched(self, change: Callable[[Told], Told]) -> Mapping[str, Any]:
        return {"strands": [change(each) if n in self.meant else each for n, each in enumerate(self.told)]}

    def thicker(self) -> Dial:
        """Every section wider and higher by the same share."""

        def patch(percent: float) -> Mapping[str, Any]:
            def change(each: Told) -> Told:
                return {**each, "girth": [_grown(row, 1 + percent / 100) for row in each["girth"]]}

            return self._patched(change)

        return dial(THICKER, 0.0, True, patch, f"{self.name} {{value}} % thicker")

    def not_thinner(self) -> Dial:
        """No section narrower or lower than the value."""
        rows = [row for number in self.meant for row in self.told[number]["girth"]]
        least = min(min(row["width"], row["back"] + row["belly"]) for row in rows)

        def patch(value: float) -> Mapping[str, Any]:
            def change(each: Told) -> Told:
                return {**each, "girth": [_at_least(row, value) for row in each["girth"]]}

            return self._patched(change)

        return dial(LEAST_SECTION, least, True, patch, f"{self.name} nowhere thinner than {{value}} mm")

    def root_blend(self) -> Iterator[Dial]:
        """Every root's ball at least as large as the value."""
        least = min(self.told[number]["root_blend"] for number in self.meant)

        def patch(value: float) -> Mapping[str, Any]:
            return self._patched(lambda each: {**each, "root_blend": max(each["root_blend"], value)})

        yield dial(d.ROOT_BLEND, least, True, patch, f"{self.name} with root blends of {{value}} mm")

    def relief(self) -> Iterator[Dial]:
        """One number of the relief of all that have such a relief, to the value at least, or at most."""
        for kind, member, parameter, up, words in _RELIEFS:
            rows = [self.told[number]["relief"] for number in self.meant]
            present = [row[member] for row in rows if row["kind"] == kind and member in row]
            if present:
                better: Callable[..., Any] = max if up else min
                worst = min(present) if up else max(present)
                yield dial(parameter, worst, up, self._of_relief(kind, member, better), words)

    def _of_relief(self, kind: str, member: str, better: Callable[..., Any]) -> Callable[[float], Mapping[str, Any]]:
        def patch(value: float) -> Mapping[str, Any]:
            def change(each: Told) -> Told:
                relief = each["relief"]
                if relief["kind"] != kind or member not in relief:
                    return each
                return {**each, "relief": {**relief, member: better(relief[member], value)}}

            return self._patched(change)

        return patch


_RELIEFS: tuple[tuple[str, str, Parameter, bool, str], ...] = (
    ("beads", "blend", d.BEAD_BLEND, True, "a {value} mm blend"),
    ("beads", "count", d.BEAD_COUNT, True, "{value} beads"),
    ("ribs", "depth", d.RIB_DEPTH, False, "ribs {value} mm deep"),
    ("rings", "depth", d.RING_DEPTH, False, "rings {value} mm deep"),
)


def _grown(row: Told, factor: float) -> Told:
    grown = {name: round(row[name] * factor, 4) for name in ("width", "back", "belly")}
    return {
        "at": row["at"],
        "width": min(grown["width"], d.GIRTH_WIDTH.maximum),
        "back": min(grown["back"], d.GIRTH_BACK.maximum),
        "belly": min(grown["belly"], d.GIRTH_BELLY.maximum),
    }


def _at_least(row: Told, value: float) -> Told:
    height = row["back"] + row["belly"]
    more = max(value / height, 1.0)
    grown = _grown(row, more)
    return {**grown, "width": max(row["width"], round(value, 4))}


def _without_hollows(taken_out: Sequence[Told]) -> Iterator[Dial]:
    """Without one of the hollows."""
    for number, each in enumerate(taken_out):
        rest = [other for place, other in enumerate(taken_out) if place != number]
        yield _at_once({"hollows": rest}, f"without the {each['kind']} that is hollow {number + 1}")


def _at_once(patch: Mapping[str, Any], words: str) -> Dial:
    """A dial of one step."""
    return Dial(1, lambda steps: patch, lambda steps: words)
