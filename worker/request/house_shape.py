"""What may stand in the definition of a house style, as marshmallow reads it and as JSON Schema 2020-12 tells it."""

from __future__ import annotations

from functools import cache
from typing import Any

from marshmallow import missing

from worker.request.composed import ObjectField, StrictSchema, field_of, schema
from worker.request.fields import ColourField, OptionalParameterField, ParameterField, RawField, StrictField, TextField
from worker.request.plastic import GRADE, HARDENER, LONGEST_NAME, SALT, SOFTENER, WARMTH
from worker.request.ranges import RangeField
from worker.request.sections import GLITTER, REQUIRE
from worker.styles import STYLES
from worker.styles.style import Style
from worker.values.parameter import Parameter
from worker.values.questions import CHECKS
from worker.values.rows import Rows

NAME = r"[a-z0-9][a-z0-9_-]{0,63}"
"""What a house style may be called."""
BY_BASE = ("fixed", "bounds", "defaults")
"""Members that are read by the base's own parameters."""

BASE = Parameter(
    "base", "choice", "Base", "The built-in style that this one narrows.", default="beaded_worm", choices=tuple(STYLES)
)
_FIXED = "Parameters of the base that are held fast, by their names: no request in this style says them."
_BOUNDS = (
    "Narrower bounds, by the parameter's name: `{minimum, maximum}` or `{choices}`; of a list of objects, the same by "
    "the name of a member."
)
_DEFAULTS = "Other defaults than the base's, by the parameter's name; where narrower bounds leave the base's out."


class ObjectByBase(RawField):
    """An object whose members are the base's parameters: read once it is known which base that is."""

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self.said = {"title": title, "description": text}

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, "type": "object"}


def _check_schema(name: str) -> StrictSchema:
    limit = CHECKS[name].limit
    return schema(**({} if limit is None else {limit.name: OptionalParameterField(limit)}))


_CHECKS = {name: ObjectField(_check_schema(name), CHECKS[name].question, absent=True) for name in CHECKS}
_PLASTIC: dict[str, StrictField] = {
    each.name: OptionalParameterField(each) for each in (GRADE, SALT, SOFTENER, HARDENER, WARMTH)
}
_NAME = TextField(LONGEST_NAME, "Name", "A plastic of your own, with the figures that it has when a bait is asked for.")
_FINISH = schema(colour=ColourField(load_default=missing), glitter=ObjectField(GLITTER, absent=True))


def _members() -> dict[str, StrictField]:
    return {
        "base": ParameterField(BASE, required=True),
        "fixed": ObjectByBase("Fixed", _FIXED),
        "bounds": ObjectByBase("Bounds", _BOUNDS),
        "defaults": ObjectByBase("Defaults", _DEFAULTS),
        "require": ObjectField(
            REQUIRE, "Require", "What every bait has to be: of this and a request's, the stricter counts."
        ),
        "checks": ObjectField(
            schema(**_CHECKS),
            "Checks",
            "Checks that no request silences, with limits: of such a limit and a request's, the stricter counts.",
        ),
        "plastic": ObjectField(schema(**_PLASTIC, name=_NAME), "Plastic", "Where a request says nothing of it."),
        "finish": ObjectField(_FINISH, "Finish", "Where a request says nothing of it."),
    }


DEFINING = schema(**_members())
"""As it stands in a request, beside the style's name."""
KEPT = schema(
    **_members(),
    label=TextField(80, "Label", "What the style is called; left out, its name.", load_default=missing),
    summary=TextField(200, "Summary", "What it is, in a line.", load_default=missing),
)
"""As it is kept."""
WORDS = ("label", "summary")
"""Members of what is kept that change no bait, and so are no part of the definition."""


@cache
def values_of(style: Style) -> StrictSchema:
    """Values of a built-in style's parameters, none of them needed."""
    fields = {parameter.name: field_of(parameter) for parameter in style.parameters}
    for each in fields.values():
        each.load_default = missing
    return schema(**fields)


@cache
def bounds_of(style: Style) -> StrictSchema:
    """Narrower bounds of a built-in style's parameters, none of them needed."""
    return schema(**{each.name: _bound(each) for each in style.parameters})


def _bound(parameter: Parameter | Rows) -> StrictField:
    if isinstance(parameter, Parameter):
        return RangeField(parameter)
    members = {member.name: RangeField(member) for member in parameter.members}
    return ObjectField(schema(**members), parameter.title, parameter.help, absent=True)
