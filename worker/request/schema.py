"""The shape of a request, as marshmallow reads it and as JSON Schema 2020-12 tells it; both from one declaration."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

from worker.files.table import DEFAULT_OUTPUTS, OUTPUTS
from worker.request.composed import ObjectField, StrictSchema, field_of, object_schema, schema
from worker.request.fields import ChoicesField, HeldField, ParameterField, RawField, StrictField, TextField
from worker.request.house_shape import DEFINING
from worker.request.housed import StyleNameField
from worker.request.mould import MOULD
from worker.request.open_form import HOLLOWS, STRANDS
from worker.request.picture import PICTURE_MEMBER
from worker.request.plastic import PLASTIC
from worker.request.rig import RIG, WATER
from worker.request.sections import CHECKS_SECTION, DETAIL, FINISH, REQUIRE, TOLERANCE
from worker.request.shop import PRINT_MEMBER, SHEET_MEMBER, SHOT_MEMBER
from worker.styles import STYLES, Style
from worker.values.parameter import Parameter

LONGEST_LABEL = 80

STYLE = Parameter("style", "choice", "Style", "The family of baits.", default="beaded_worm", choices=tuple(STYLES))


def _shared() -> dict[str, StrictField]:
    """What every request has, whatever says the shape of its bait."""
    return {
        "label": TextField(LONGEST_LABEL, text="Echoed, never stored."),
        "plastic": ObjectField(PLASTIC),
        "finish": ObjectField(FINISH),
        "rig": RIG,
        "water": WATER,
        "require": ObjectField(REQUIRE),
        "checks": ObjectField(CHECKS_SECTION),
        "picture": PICTURE_MEMBER,
        "mould": MOULD,
        "tolerance_mm": ParameterField(TOLERANCE),
        "detail": ParameterField(DETAIL),
        "print": PRINT_MEMBER,
        "shot": SHOT_MEMBER,
        "sheet": SHEET_MEMBER,
        "outputs": ChoicesField(OUTPUTS, load_default=lambda: sorted(DEFAULT_OUTPUTS)),
    }


@cache
def styled_schema() -> StrictSchema:
    """Every member of a request for a style; `params` is read apart, by the style that it names."""
    return schema(style=ParameterField(STYLE, required=True), params=RawField(), **_shared())


@cache
def housed_schema() -> StrictSchema:
    """Every member of a request for a house style, its definition beside its name."""
    return schema(style=StyleNameField(), house_style=RawField(), params=RawField(), **_shared())


@cache
def open_schema() -> StrictSchema:
    """Every member of a request in the open form."""
    return schema(strands=STRANDS, hollows=HOLLOWS, **_shared())


@lru_cache(maxsize=128)  # house styles come and go
def params_schema(style: Style) -> StrictSchema:
    """The parameters of one style that a request may say."""
    held = {name: HeldField(name, value) for name, value in style.fixed.items()}
    return schema(**{parameter.name: field_of(parameter) for parameter in style.free}, **held)


def request_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a request: one alternative a style, each with its own `params`, and the open form."""
    shared = {name: field.json_schema() for name, field in _shared().items()}
    open_form = object_schema(open_schema())
    return {
        "title": "A request",
        "oneOf": [
            *(_styled(style.name, shared) for style in STYLES.values()),
            _housed(shared),
            {"title": "The open form", "description": OPEN_FORM, **open_form},
        ],
    }


HOUSE = (
    "A house style of the caller's own, by the name that it is kept under; its parameters are told by its own "
    "`params_schema`. A definition that stands beside the name is read as it stands, and need not be kept."
)
OPEN_FORM = "Strands by themselves, in place of a style and its parameters, and what is taken out of them."


def _styled(name: str, shared: Mapping[str, Any]) -> dict[str, Any]:
    style = STYLES[name]
    return {
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


def _housed(shared: Mapping[str, Any]) -> dict[str, Any]:
    definition = {**object_schema(DEFINING), "title": "Definition", "description": "As it was when it was asked for."}
    return {
        "title": "A house style",
        "description": HOUSE,
        "type": "object",
        "additionalProperties": False,
        "required": ["style"],
        "properties": {
            "style": StyleNameField().json_schema(),
            "house_style": definition,
            "params": {"type": "object", "description": "As the style's own `params_schema` has them."},
            **shared,
        },
    }
