"""At which values a parameter is drawn: its least, its default and its greatest, or each of its choices.

Where the end of a range does not go with the other defaults, the nearest value that does stands for it. Where a
parameter changes nothing at the defaults (a tail's width on a bait without a tail), it is drawn on a bait on which it
does: one other parameter is set, and the drawing says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import Any

from worker.drawing.change import Change, greatest_change
from worker.drawing.dials import Dial, Params, dials_of, in_words
from worker.drawing.model import Model, Shape
from worker.drawing.spans import Span, named_spans
from worker.styles.style import Style
from worker.values.parameter import Parameter, Value
from worker.values.rows import Rows

HALVINGS = 7
"""How often the way from the default to a range's end is halved in search of a value that can be."""


@dataclass(frozen=True)
class State:
    """The bait at one value. `words` says the value, `note` what is particular about it."""

    words: str
    note: str
    params: Params
    shape: Shape
    number: float | None = None


@dataclass(frozen=True)
class States:
    """All that one drawing shows. `usual` is the place of the default; `with_words` what else was set."""

    states: tuple[State, ...]
    usual: int
    parameter: Parameter | None
    with_words: str
    change: Change | None

    @cached_property
    def named(self) -> list[Span] | None:
        """For each state the length that the parameter names; None where it names none."""
        numbers = [state.number for state in self.states if state.number is not None]
        if self.parameter is None or len(numbers) < 2 or self.parameter.kind == "whole":
            return None
        return named_spans([state.shape for state in self.states], numbers, self.parameter.unit)


def states_of(style: Style, name: str) -> States:
    """The states of the drawing of this name. Raises KeyError."""
    model, defaults = Model(style), style.defaults()
    if name in (parameter.name for parameter in style.parameters if isinstance(parameter, Rows)):
        return _rows_states(model, style.rows(name), defaults)
    dials = dials_of(style, name)
    plain = [found for dial in dials if (found := _at(model, dial, defaults, "")) is not None]
    best = max(plain, key=_moved, default=None)
    if best is not None and best.change is not None:
        return best
    for other in style.parameters:
        if isinstance(other, Rows) or any(other.name == dial.name for dial in dials):
            continue
        tried = [
            found
            for value in _others(other)
            for dial in dials
            if (found := _at(model, dial, {**defaults, other.name: value}, _set_words(other, value))) is not None
        ]
        moving = max(tried, key=lambda found: (found.named is not None, _moved(found)), default=None)
        if moving is not None and moving.change is not None:
            return moving
    if best is None:
        raise ValueError(f"the defaults of {style.name} cannot be built")
    return best


def _moved(states: States) -> float:
    return 0.0 if states.change is None else states.change.distance


def _others(parameter: Parameter) -> Iterator[Value]:
    """Values of another parameter that may bring a bait a part which it has not by default."""
    if parameter.kind == "choice":
        yield from (choice for choice in parameter.choices if choice != parameter.default)
    elif parameter.default == parameter.minimum == 0:
        middle = parameter.maximum / 2
        yield round(middle) if parameter.kind == "whole" else _on_grid(parameter, middle)


def _set_words(parameter: Parameter, value: Value) -> str:
    return f"{in_words(parameter.name)} {value_words(parameter, value)}"


def _at(model: Model, dial: Dial, params: Params, with_words: str) -> States | None:
    usual = model.shape(params)
    if usual is None:
        return None
    parameter, default = dial.parameter, dial.value(params)
    if parameter.kind == "choice":
        tried = (_state(model, dial, params, choice, "") for choice in parameter.choices)
        states = [state for state in tried if state is not None]
    else:
        states = list(_numbers(model, dial, params))
    place = next(index for index, state in enumerate(states) if state.words == value_words(parameter, default))
    changes = [greatest_change(usual, state.shape) for index, state in enumerate(states) if index != place]
    change = max((each for each in changes if each is not None), key=lambda each: each.distance, default=None)
    return States(tuple(states), place, parameter, with_words, change)


def _numbers(model: Model, dial: Dial, params: Params) -> Iterator[State]:
    parameter, default = dial.parameter, float(dial.value(params))
    found: dict[float, State | None] = {}
    ends = ((parameter.minimum, "least", "begins"), (parameter.maximum, "most", "ends"))
    for end, word, verb in ends:
        value = nearest(model, dial, params, float(end))
        note = word if value == end else f"{word} here; the range {verb} at {end:g}"
        found[value] = _state(model, dial, params, value, note)
    found[default] = _state(model, dial, params, default, "default")
    if len(found) == 2:
        # The default is an end of the range: the middle of what is left makes the third.
        middle = _on_grid(parameter, sum(found) / 2)
        found.setdefault(middle, _state(model, dial, params, middle, ""))
    yield from (state for value in sorted(found) if (state := found[value]) is not None)


def nearest(model: Model, dial: Dial, params: Params, end: float) -> float:
    """The end of a range, or the value nearest to it that can be; at worst the default."""
    parameter, sound = dial.parameter, float(dial.value(params))
    if model.shape(dial.put(params, _typed(parameter, end))) is not None:
        return end
    unsound = end
    for _ in range(HALVINGS):
        middle = _on_grid(parameter, (sound + unsound) / 2)
        if middle in (sound, unsound):
            break
        if model.shape(dial.put(params, _typed(parameter, middle))) is None:
            unsound = middle
        else:
            sound = middle
    return sound


def _on_grid(parameter: Parameter, value: float) -> float:
    return round(round(value / parameter.step) * parameter.step, 6)


def _typed(parameter: Parameter, value: float) -> Value:
    return int(value) if parameter.kind == "whole" else value


def _state(model: Model, dial: Dial, params: Params, value: Value, note: str) -> State | None:
    own = value if isinstance(value, str) else _typed(dial.parameter, value)
    changed = dial.put(params, own)
    shape = model.shape(changed)
    number = None if isinstance(value, str) else float(value)
    return None if shape is None else State(value_words(dial.parameter, value), note, changed, shape, number)


def value_words(parameter: Parameter, value: Value) -> str:
    """A value with its unit: "9 mm", "25 %", "40\N{DEGREE SIGN}", "pincer"."""
    if isinstance(value, str):
        return value
    unit = {"": "", "deg": "\N{DEGREE SIGN}"}.get(parameter.unit, f" {parameter.unit}")
    return f"{value:g}{unit}"


def _rows_states(model: Model, rows: Rows, defaults: dict[str, Any]) -> States:
    """A list of rows grows: from the fewest to the default, row by row."""
    written = rows.written()
    states = []
    for count in range(rows.fewest, len(written) + 1):
        params = {**defaults, rows.name: written[:count]}
        shape = model.shape(params)
        if shape is not None:
            words = f"{count}: {_row_words(written[count - 1])}" if count else "none"
            states.append(State(words, "default" if count == len(written) else "", params, shape))
    pairs = ((states[-1].shape, state.shape) for state in states[:-1])
    changes = list(chain(each for pair in pairs if (each := greatest_change(*pair)) is not None))
    change = max(changes, key=lambda each: each.distance, default=None)
    return States(tuple(states), len(states) - 1, None, "", change)


def _row_words(row: dict[str, Value]) -> str:
    named = [value for value in row.values() if isinstance(value, str)]
    return f"and {named[0]}" if named else "and one more"
