"""A bait said in one sentence: what is held fast in plain words, what may be changed as a place to be filled in."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from worker.values.parameter import Parameter
from worker.values.rows import Rows

_PLACE = re.compile(r"\{([a-z0-9_]+)\}|\(s\)")
_OFF = ("none", 0)
_UNITS = {"deg": "°", "%": " %"}
_SAID_WITH_A_VOWEL = re.compile(r"A (?=(?:8\d*|11|18)(?:\D|$))")  # an eight, an eighty, an eleven, an eighteen


def made_sentence(parameters: Sequence[Parameter | Rows], named: Mapping[str, Any]) -> str:
    """A sentence of these parameters where a style declares none: the length first."""
    said = [_phrase(each.title, f"{{{each.name}}}") for each in parameters if each.name in named]
    if "length" not in {each.name for each in parameters}:
        return ", ".join(["A {style}", *said])
    return ", ".join(["A {length} {style}", *(phrase for phrase in said if phrase != "length {length}")])


def with_fixed(sentence: str, parameters: Sequence[Parameter | Rows], fixed: Mapping[str, Any]) -> str:
    """The sentence with the values that are held fast written in, and after it those that it has no place for.

    `(s)` is settled where the number before it is. Of what a part is not there for (`tail_width` of no tail) nothing is
    said, nor of lists, which no sentence holds.
    """
    values = {each.name: _spoken(each, fixed[each.name]) for each in parameters if _is_said(each, fixed)}
    counted = ""

    def filled(found: re.Match[str]) -> str:
        nonlocal counted
        name = found[1]
        if name is None:
            return found[0] if counted not in values else "" if values[counted] == "1" else "s"
        if name != "style":
            counted = name
        return values.get(name, found[0])

    told = _SAID_WITH_A_VOWEL.sub("An ", _PLACE.sub(filled, sentence), count=1)
    absent = tuple(f"{name}_" for name, value in fixed.items() if value in _OFF)
    more = [
        _phrase(each.title, values[each.name])
        for each in parameters
        if each.name in values
        and f"{{{each.name}}}" not in sentence
        and fixed[each.name] not in _OFF
        and not each.name.startswith(absent)
    ]
    return ", ".join([told, *more])


def _is_said(parameter: Parameter | Rows, fixed: Mapping[str, Any]) -> bool:
    return isinstance(parameter, Parameter) and parameter.name in fixed


def _phrase(title: str, value: str) -> str:
    return f"{title.lower()} {value}"


def _spoken(parameter: Parameter | Rows, value: Any) -> str:
    """A value as it stands in running text: "5.5 mm", "25 %", "200°", "barrel"."""
    if isinstance(value, str):
        return value.replace("_", " ")
    unit = parameter.unit if isinstance(parameter, Parameter) else ""
    return f"{value:.10g}" + (_UNITS.get(unit, f" {unit}") if unit else "")
