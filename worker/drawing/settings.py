"""What else is set on a bait so that a parameter shows: a tail for the width of one, fewer limbs where it has no room.

Nothing here knows a style: other parameters are tried, those first whose names begin like the parameter's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import takewhile
from typing import Any

from worker.drawing.dials import Dial, Params, in_words
from worker.drawing.model import Model
from worker.drawing.values import between, others, value_words
from worker.styles.style import Style
from worker.values.parameter import Parameter, Value
from worker.values.rows import Rows

Setting = tuple[dict[str, Any], str]
"""Parameters, and in words what of them is not as by default."""


def settings(model: Model, dial: Dial, *, wide: bool = False) -> Iterator[list[Setting]]:
    """Baits that can be on which another parameter is set, a list a parameter.

    `wide`: only those whose names begin like the dial's own are set, and anything else is moved to make room for them.
    """
    for other in _by_name(model.style, dial.name):
        if not wide or _shared(other.name, dial.name):
            made = (setting(model, other, value, without=dial.name, wide=wide) for value in others(other))
            yield [each for each in made if each is not None]


def setting(
    model: Model, parameter: Parameter, value: Value, *, without: str = "", wide: bool = False
) -> Setting | None:
    """The defaults but for this value, and one more thing where it does not go with them; `without` that parameter."""
    params, words = {**model.style.defaults(), parameter.name: value}, _set_words(parameter, value)
    if model.shape(params) is not None:
        return params, words
    for eased, more in _eased(model.style, params, parameter.name, without.partition(".")[0], wide=wide):
        if model.shape(eased) is not None:
            return eased, f"{words}, {more}"
    return None


def moves(model: Model, dial: Dial, params: Params) -> bool:
    """Whether any of a few values makes another bait of it."""
    usual = model.shape(params)
    shapes = (model.shape(dial.put(params, value)) for value in between(dial, params))
    return usual is not None and any(shape is not None and shape != usual for shape in shapes)


def _eased(style: Style, params: Params, name: str, without: str, *, wide: bool) -> Iterator[Setting]:
    """The same with one more parameter moved whose name begins alike (any, if `wide`), or with fewer rows of a list."""
    for other in _by_name(style, name):
        if other.name != without and (wide or _shared(other.name, name)):
            values = others(other) if other.kind == "choice" else between(Dial(other.name, other), params)
            for value in values:
                yield {**params, other.name: value}, _set_words(other, value)
    for rows in style.parameters:
        if isinstance(rows, Rows) and rows.name != without:
            for count in range(len(params[rows.name]) - 1, rows.fewest - 1, -1):
                yield {**params, rows.name: params[rows.name][:count]}, f"{count or 'no'} {in_words(rows.name)}"


def _by_name(style: Style, name: str) -> list[Parameter]:
    """The other numbers and choices, those first whose names begin like this one."""
    found = [each for each in style.parameters if isinstance(each, Parameter) and each.name != name]
    return sorted(found, key=lambda each: -_shared(each.name, name))


def _shared(one: str, other: str) -> int:
    """How many words two names have in common from their beginning."""
    pairs = zip(re.split(r"[_.]", one), re.split(r"[_.]", other), strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))


def _set_words(parameter: Parameter, value: Value) -> str:
    return f"{in_words(parameter.name)} {value_words(parameter, value)}"
