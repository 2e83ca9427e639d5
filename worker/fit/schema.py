"""The shape of a fit's request, as marshmallow reads it and as JSON Schema 2020-12 tells it."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any, cast

from worker.fit.axes import MOST_FREE, free_parameters
from worker.fit.effort import EVALUATIONS
from worker.fit.fields import BoundField, FreeField, FrontField, GoalField
from worker.fit.figures import FIGURES
from worker.fit.makers_terms import MAKER
from worker.request.composed import ObjectField, StrictSchema, field_of, schema
from worker.request.fields import (
    HeldField,
    OptionalParameterField,
    ParameterField,
    RawField,
    StationField,
    StrictField,
)
from worker.request.housed import StyleNameField
from worker.request.schema import STYLE, styled_schema
from worker.request.sections import PULLS
from worker.styles.house import DEFINITION
from worker.styles.style import Style
from worker.values.parameter import Parameter

VERDICTS = Parameter(
    "verdicts",
    "choice",
    "Verdicts",
    "What every check that is not silenced has to say: pass; caution, that none fails; any, whatever they say.",
    default="pass",
    choices=("pass", "caution", "any"),
)
TOUCHING = Parameter(
    "at_least",
    "length",
    "Overlap of lobes",
    "How deep a lobe runs into what holds it, at the least, all the way between the two stations.",
    default=0.0,
    minimum=0.0,
    maximum=20.0,
    step=0.1,
    unit="mm",
)
SHARED = ("label", "plastic", "finish", "rig", "water", "checks", "tolerance_mm", "detail", "outputs")
"""Members of a bait's request that a fit hands on as they are."""
BY_STYLE = ("params", "free", "start")
"""Members that are read by the style's own schemas."""

_MAKER = "What is fished for, how and where: stated rules turn it into a style, requirements and a bait to start from."
_PARAMS = "What is fixed, as in a bait's `params` (see the style's own `params_schema`); the rest is at its default."
_FREE = (
    f"What may change, by its name: the style's parameters, and salt, grade, ... of the plastic; at most {MOST_FREE}."
)
_START = "Free values to begin from, and what `nearest` is measured from; left out, the defaults."
_DEFINITION = "Of the house style that `style` names, as a bait's request has it; left out, the one that is kept."
_LOBES = "Lobes run into each other or into their core all the way from one station to another."
_FROM = "From the nose: a fraction of the length, or a length as text."


@cache
def require_schema() -> StrictSchema:
    """What the bait has to be: any figure of `figures.FIGURES`, and what a bait's own request can require."""
    bounds: dict[str, Any] = {name: BoundField(figure) for name, figure in FIGURES.items()}
    ends = {"from": StationField("From", _FROM, required=True), "to": StationField("To", _FROM, required=True)}
    lobes = ObjectField(schema(**ends, at_least=ParameterField(TOUCHING)), "Lobes touching", _LOBES, absent=True)
    own: dict[str, Any] = {name: OptionalParameterField(pull) for name, pull in PULLS.items()}
    own["verdicts"] = ParameterField(VERDICTS)
    return schema(**own, lobes_touching=lobes, **bounds)


@cache
def fit_schema() -> StrictSchema:
    """Every member of a fit's request; `params`, `free` and `start` are read apart, by the style that it names."""
    return schema(style=ParameterField(STYLE, required=True), **_members())


@cache
def housed_fit_schema() -> StrictSchema:
    """The same for a house style, its definition beside its name."""
    return schema(style=StyleNameField(), house_style=RawField(), **_members())


def _members() -> dict[str, Any]:
    return dict(
        **{name: RawField() for name in BY_STYLE},
        require=ObjectField(require_schema()),
        goal=GoalField(),
        front=FrontField(),
        evaluations=OptionalParameterField(EVALUATIONS),
        maker=ObjectField(MAKER, "Maker's terms", _MAKER, absent=True),
        **{name: field for name, field in styled_schema().fields.items() if name in SHARED},
    )


@lru_cache(maxsize=256)  # house styles come and go
def fixed_schema(style: Style, free: frozenset[str]) -> StrictSchema:
    """The parameters of a style that are not `free`."""
    return schema(**{each.name: field_of(each) for each in style.free if each.name not in free}, **_held(style))


@lru_cache(maxsize=128)
def free_schema(style: Style) -> StrictSchema:
    """What may be free of a style and its plastic, each with its range."""
    free = {name: FreeField(parameter) for name, parameter in free_parameters(style).items()}
    return schema(**free, **_held(style))


@lru_cache(maxsize=128)
def values_schema(style: Style) -> StrictSchema:
    """Values of what may be free, none of them needed."""
    declared = free_parameters(style)
    values = {name: OptionalParameterField(parameter) for name, parameter in declared.items()}
    return schema(**values, **_held(style))


def _held(style: Style) -> dict[str, Any]:
    return {name: HeldField(name, value) for name, value in style.fixed.items()}


def fit_request_schema() -> dict[str, Any]:
    """JSON Schema 2020-12 of a fit's request. `params`, `free` and `start` go by the style's own `params_schema`."""
    properties: dict[str, Any] = {
        "params": {"type": "object", "description": _PARAMS},
        "free": {"type": "object", "minProperties": 1, "maxProperties": MOST_FREE, "description": _FREE},
        "start": {"type": "object", "description": _START},
    }
    for name, field in fit_schema().fields.items():
        if name not in BY_STYLE:
            properties[name] = cast(StrictField, field).json_schema()
    properties["style"] = {**properties["style"], "type": "string"}
    del properties["style"]["enum"]
    properties["style"]["anyOf"] = [{"enum": list(STYLE.choices)}, StyleNameField().json_schema()]
    definition = {"type": "object", "title": "Definition", "description": _DEFINITION}
    # Maker's terms leave all the rest to the rules.
    forms = [{"required": ["style", "free"]}, {"required": ["maker"]}]
    return {
        "title": "A fit",
        "type": "object",
        "additionalProperties": False,
        "anyOf": forms,
        "properties": {**{name: properties[name] for name in fit_schema().fields}, DEFINITION: definition},
    }
