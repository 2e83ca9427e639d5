"""What a refusal tells of a parameter, within what the parameter takes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from worker.errors import Fault
from worker.styles.style import Style
from worker.values.parameter import Parameter
from worker.values.rows import Rows


def within(faults: Iterable[Fault], style: Style) -> Iterator[Fault]:
    """Faults of a style's parameters, each with what would do of what the style takes; None where nothing of it would.

    A rule reckons what would do from the bait alone: it may lie outside of what the parameter takes by itself, and a
    house style may take less of it, or hold it fast.
    """
    declared = {each.name: each for each in style.parameters}
    for fault in faults:
        _, _, name, *below = fault.pointer.split("/") if fault.pointer.startswith("/params/") else ("", "", "")
        parameter: Parameter | Rows | None = declared.get(name)
        if name in style.fixed:
            yield Fault(fault.pointer, fault.code, f"{fault.detail} The house style holds {name} fast.", None)
            continue
        if isinstance(parameter, Rows):
            parameter = {each.name: each for each in parameter.members}.get(below[-1] if below else "")
        yield fault if parameter is None else replace(fault, allowed=_both(fault.allowed, parameter))


def _both(allowed: object, parameter: Parameter) -> object:
    """What is in both: of two ranges, or of two lists of choices."""
    if not isinstance(allowed, Mapping):
        return allowed
    if "choices" in allowed and parameter.kind == "choice":
        choices = [each for each in allowed["choices"] if each in parameter.choices]
        return {**allowed, "choices": choices} if choices else None
    if not {"minimum", "maximum"} & set(allowed):
        return allowed
    least = max(allowed.get("minimum", parameter.minimum), parameter.minimum)
    most = min(allowed.get("maximum", parameter.maximum), parameter.maximum)
    return {**allowed, "minimum": least, "maximum": most} if least <= most else None
