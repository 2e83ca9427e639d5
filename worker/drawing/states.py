"""At which values a parameter is drawn: its least, its default and its greatest, or each of its choices.

Where the end of a range does not go with the other defaults, the nearest value that does stands for it. Where a
parameter changes nothing at the defaults (a tail's width on a bait without a tail), it is drawn on a bait on which it
does: one other parameter is set, and the drawing says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain
from typing import Any

from worker.drawing.change import Change, greatest_change
from worker.drawing.dials import Dial, Params, dials_of
from worker.drawing.model import Model, Shape
from worker.drawing.settings import moves, setting, settings
from worker.drawing.spans import Span, named_spans
from worker.drawing.values import nearest, on_grid, typed, value_words
from worker.styles.style import Style
from worker.values.parameter import Parameter, Value
from worker.values.rows import Rows

MOST_TRIED = 4
"""Baits that are tried of those on which a parameter does something."""


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
    groups = chain([[(defaults, "")]], settings(model, dials[0]), settings(model, dials[0], wide=True))
    for group in groups:
        moving = [(dial, *each) for each in group for dial in dials if moves(model, dial, each[0])]
        tried = [_at(model, *each) for each in moving[:MOST_TRIED]]
        best = max(tried, key=lambda found: (found.named is not None, _moved(found)), default=None)
        if best is not None and best.change is not None:
            return best
    return _at(model, dials[0], defaults, "")


def _moved(states: States) -> float:
    return 0.0 if states.change is None else states.change.distance


def _at(model: Model, dial: Dial, params: Params, with_words: str) -> States:
    usual = model.shape(params)
    if usual is None:
        raise ValueError(f"the defaults of {model.style.name} cannot be built")
    parameter, default = dial.parameter, dial.value(params)
    if parameter.kind == "choice":
        states = list(_choices(model, dial, params))
    else:
        states = list(_numbers(model, dial, params))
    if len({state.shape.blends for state in states}) > 1:
        # What is asked about is the round itself, or comes with another one.
        states = [replace(state, shape=replace(state.shape, flared=True)) for state in states]
        usual = replace(usual, flared=True)
    place = next(index for index, state in enumerate(states) if state.words == value_words(parameter, default))
    changes = [greatest_change(usual, state.shape) for index, state in enumerate(states) if index != place]
    change = max((each for each in changes if each is not None), key=lambda each: each.distance, default=None)
    return States(tuple(states), place, parameter, with_words, change)


def _choices(model: Model, dial: Dial, params: Params) -> Iterator[State]:
    """Each choice; where one does not go with the rest, on the bait nearest to it on which it does."""
    for choice in dial.parameter.choices:
        state = _state(model, dial, params, choice, "")
        eased = None if state is not None or dial.rows else setting(model, dial.parameter, choice)
        if eased is not None:
            _, _, more = eased[1].partition(", ")
            state = _state(model, dial, eased[0], choice, f"with {more}")
        if state is not None:
            yield state


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
        middle = on_grid(parameter, sum(found) / 2)
        found.setdefault(middle, _state(model, dial, params, middle, ""))
    yield from (state for value in sorted(found) if (state := found[value]) is not None)


def _state(model: Model, dial: Dial, params: Params, value: Value, note: str) -> State | None:
    own = value if isinstance(value, str) else typed(dial.parameter, value)
    changed = dial.put(params, own)
    shape = model.shape(changed)
    number = None if isinstance(value, str) else float(value)
    return None if shape is None else State(value_words(dial.parameter, value), note, changed, shape, number)


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
