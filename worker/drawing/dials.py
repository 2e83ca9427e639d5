"""What a drawing turns: a parameter of a style, one member of a row, or the rows themselves."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from worker.styles.style import Style
from worker.values.parameter import Parameter, Value
from worker.values.rows import Rows

Params = Mapping[str, Any]


@dataclass(frozen=True)
class Dial:
    """A parameter that can be put into a bait's parameters; `row` is the row whose member it is, where it is one."""

    name: str
    parameter: Parameter
    rows: str = ""
    row: int = 0

    def value(self, params: Params) -> Value:
        """What it stands at."""
        holder: Mapping[str, Value] = params[self.rows][self.row] if self.rows else params
        return holder[self.parameter.name]

    def put(self, params: Params, value: Value) -> dict[str, Any]:
        """The same parameters with this value."""
        if not self.rows:
            return {**params, self.parameter.name: value}
        changed = [
            {**row, self.parameter.name: value} if place == self.row else row
            for place, row in enumerate(params[self.rows])
        ]
        return {**params, self.rows: changed}


def drawing_names(style: Style) -> Iterator[str]:
    """The names of a style's drawings: each parameter, and each member of rows after their name and a dot."""
    for parameter in style.parameters:
        yield parameter.name
        if isinstance(parameter, Rows):
            yield from (f"{parameter.name}.{member.name}" for member in parameter.members)


def dials_of(style: Style, name: str) -> list[Dial]:
    """The dials that a drawing of this name can turn: one, or for a row's member one a default row.

    Raises KeyError where the style has no number or choice of this name.
    """
    rows_name, _, member_name = name.partition(".")
    if not member_name:
        return [Dial(name, style.parameter(name))]
    rows = style.rows(rows_name)
    member = rows.member(member_name)
    return [Dial(name, member, rows_name, place) for place in range(len(rows.written()))]


def in_words(name: str) -> str:
    """A parameter's name as words in a sentence."""
    return re.sub(r"[_.]", " ", name)
