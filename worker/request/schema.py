"""The shape of a request, as marshmallow reads it and as JSON Schema 2020-12 tells it; both from one declaration."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from marshmallow import Schema

from worker.files.table import DEFAULT_OUTPUTS, OUTPUTS
from worker.request.fields import (
    ChoicesField,
    ColourField,
    FlagField,
    ObjectField,
    ParameterField,
    RawField,
    TextField,
    field_of,
)
from worker.request.sections import CHECKS_SECTION, FINISH, PLASTIC, REQUIRE, TOLERANCE, schema
from worker.styles import STYLES
from worker.values.parameter import Parameter

LONGEST_LABEL = 80

STYLE = Parameter("style", "choice", "Style", "The family of baits.", default="beaded_worm", choices=tuple(STYLES))


@cache
def top_schema() -> Schema:
    """Every member of a request; `params` is read apart, by the style that it names."""
    return schema(
        style=ParameterField(STYLE, required=True),
        params=RawField(),
        label=TextField(LONGEST_LABEL),
        plastic=ObjectField(PLASTIC),
        finish=ObjectField(FINISH),
        require=ObjectField(REQUIRE),
        checks=ObjectField(CHECKS_SECTION),
        tolerance_mm=ParameterField(TOLERANCE),
        outputs=ChoicesField(OUTPUTS, load_default=lambda: sorted(DEFAULT_OUTPUTS)),
    )


@cache
def params_schema(style: str) -> Schema:
    """The parameters of one style."""
    return schema(**{parameter.name: field_of(parameter) for parameter in STYLES[style].parameters})


def request_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a request: one alternative a style, each with its own `params`."""
    shared = {name: _described(field) for name, field in top_schema().fields.items() if name not in ("style", "params")}
    return {
        "title": "A request",
        "oneOf": [
            {
                "title": style.title,
                "type": "object",
                "additionalProperties": False,
                "required": ["style"],
                "properties": {
                    "style": {"const": style.name, "title": "Style", "description": style.summary},
                    "params": style.params_schema(),
                    **shared,
                },
            }
            for style in STYLES.values()
        ],
    }


def _described(field: object) -> dict[str, Any]:
    match field:
        case ParameterField(parameter=parameter):
            return parameter.json_schema()
        case ColourField():
            return {"type": "string", "maxLength": 80, "description": "A colour of CSS Color 4."}
        case FlagField():
            return {"type": "boolean", "default": False}
        case TextField(longest=longest):
            return {
                "type": "string",
                "minLength": 1,
                "maxLength": longest,
                "description": "Echoed, never stored.",
            }
        case ChoicesField(choices=choices):
            return {"type": "array", "maxItems": 64, "items": {"type": "string", "enum": list(choices)}}
        case ObjectField(schema=below):
            return _object(below.fields)
        case _:
            raise TypeError(f"no JSON Schema for {type(field).__name__}")


def _object(members: Mapping[str, object]) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": {name: _described(field) for name, field in members.items()},
    }
