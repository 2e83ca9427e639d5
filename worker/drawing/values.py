"""Values that a drawing takes for a parameter, and how they are written."""

from __future__ import annotations

from collections.abc import Iterator

from worker.drawing.dials import Dial, Params
from worker.drawing.model import Model
from worker.values.parameter import Parameter, Value

HALVINGS = 7
"""How often the way from the default to a range's end is halved in search of a value that can be."""


def nearest(model: Model, dial: Dial, params: Params, end: float) -> float:
    """The end of a range, or the value nearest to it that can be; at worst the one that stands."""
    parameter, sound = dial.parameter, float(dial.value(params))
    if model.shape(dial.put(params, typed(parameter, end))) is not None:
        return end
    unsound = end
    for _ in range(HALVINGS):
        middle = on_grid(parameter, (sound + unsound) / 2)
        if middle in (sound, unsound):
            break
        if model.shape(dial.put(params, typed(parameter, middle))) is None:
            unsound = middle
        else:
            sound = middle
    return sound


def between(dial: Dial, params: Params) -> Iterator[Value]:
    """A few values over the whole range, the furthest from the one that stands first; or each choice."""
    parameter = dial.parameter
    if parameter.kind == "choice":
        yield from parameter.choices
        return
    stands = float(dial.value(params))
    for share in (1.0, 0.5, 0.12):
        for end in (float(parameter.minimum), float(parameter.maximum)):
            yield typed(parameter, on_grid(parameter, stands + share * (end - stands)))


def others(parameter: Parameter) -> Iterator[Value]:
    """Values that may bring a bait a part which it has not by default."""
    if parameter.kind == "choice":
        yield from (choice for choice in parameter.choices if choice != parameter.default)
    elif parameter.default == parameter.minimum == 0:
        yield typed(parameter, on_grid(parameter, parameter.maximum / 2))


def on_grid(parameter: Parameter, value: float) -> float:
    """The value to the parameter's step, within its range."""
    stepped = round(round(value / parameter.step) * parameter.step, 6)
    return min(max(stepped, float(parameter.minimum)), float(parameter.maximum))


def typed(parameter: Parameter, value: float) -> Value:
    """A whole number where the parameter is one."""
    return int(value) if parameter.kind == "whole" else value


def value_words(parameter: Parameter, value: Value) -> str:
    """A value with its unit: "9 mm", "25 %", "40\N{DEGREE SIGN}", "pincer"."""
    if isinstance(value, str):
        return value
    unit = {"": "", "deg": "\N{DEGREE SIGN}"}.get(parameter.unit, f" {parameter.unit}")
    return f"{value:g}{unit}"
