"""House styles: a built-in style with some of its parameters held fast and others in narrower bounds.

A definition in normal form (see `request/house.py`) is all that is needed: what is built later hangs on nothing kept.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from worker.styles import STYLES
from worker.styles.style import Style
from worker.values.parameter import Parameter
from worker.values.rows import Rows

DEFINITION = "house_style"
"""The member of a request, beside `style`, that says what a house style is."""


def style_of(normal: Mapping[str, Any]) -> Style:
    """The style that a request or a fit in normal form names."""
    definition = normal.get(DEFINITION)
    return STYLES[normal["style"]] if definition is None else house_style(normal["style"], definition)


def house_style(name: str, definition: Mapping[str, Any]) -> Style:
    """The style that a definition in normal form makes: one and the same object for the same definition."""
    return _made(name, json.dumps(definition, sort_keys=True, ensure_ascii=False))


@lru_cache(maxsize=128)
def _made(name: str, text: str) -> Style:
    definition: dict[str, Any] = json.loads(text)
    base = STYLES[definition["base"]]
    parameters = tuple(_narrowed(each, definition) for each in base.parameters)
    style = replace(
        base,
        name=name,
        title=definition.get("label", name.replace("_", " ").replace("-", " ").capitalize()),
        summary=definition.get("summary", f"A house style, narrower than the {base.title.lower()}."),
        parameters=parameters,
        base=base.name,
        fixed=definition["fixed"],
    )
    said = [each.name for each in style.free if each.name in (*definition["bounds"], *definition["defaults"])]
    defaults = style.defaults()
    params = {"params": {name: defaults[name] for name in said}} if said else {}
    return replace(style, example={"style": name, "label": style.title, **params})


def narrowed(parameter: Parameter, told: Mapping[str, Any]) -> Parameter:
    """A number within `{minimum, maximum}`, a choice out of `{choices}`, its default brought to the nearest of them."""
    if parameter.kind == "choice":
        choices = tuple(each for each in parameter.choices if each in told["choices"])
        default = parameter.default if parameter.default in choices else choices[0]
        return replace(parameter, choices=choices, default=default)
    least, most = told["minimum"], told["maximum"]
    default = min(max(parameter.default, least), most)
    return replace(parameter, minimum=least, maximum=most, default=default, rounded=True)


def narrowed_rows(rows: Rows, told: Mapping[str, Mapping[str, Any]]) -> Rows:
    """The members that are told of in narrower bounds; the rows that stand where none are sent stay as they are."""
    written = rows.written()
    members = tuple(narrowed(each, told[each.name]) if each.name in told else each for each in rows.members)
    return replace(rows, members=members, default=tuple(written))


def _narrowed(parameter: Parameter | Rows, definition: Mapping[str, Any]) -> Parameter | Rows:
    name, fixed, told = parameter.name, definition["fixed"], definition["bounds"].get(parameter.name)
    default = fixed[name] if name in fixed else definition["defaults"].get(name)
    if isinstance(parameter, Rows):
        given = parameter if default is None else replace(parameter, default=tuple(default))
        return given if told is None else narrowed_rows(given, told)
    if name in fixed:  # remedies and forms see that there is no way to turn it
        one = {"choices": [default]} if parameter.kind == "choice" else {"minimum": default, "maximum": default}
        return narrowed(parameter, one)
    inside = parameter if told is None else narrowed(parameter, told)
    return inside if default is None else replace(inside, default=default)
