"""marshmallow fields of a fit alone: bounds on a figure, the range of what is free, the goal, the front."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from marshmallow import ValidationError, missing

from worker.fit.figures import COUNTED, FIGURES, Figure
from worker.fit.goals import GOALS, NEAREST
from worker.request.composed import StrictSchema, object_schema, schema
from worker.request.faults import Flaw
from worker.request.fields import OptionalParameterField, ParameterField, StrictField, refused
from worker.request.ranges import RangeField
from worker.values.parameter import Parameter, six_digits

WITHIN = 1e-4
"""How near counts as equal where nothing is said, over the value."""
MOST_POINTS = 40


class _Bounds(StrictSchema):
    """At least one bound, and bounds that leave something between them."""

    says = {"minProperties": 1}

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema. `within` is written beside `equal`."""
        there = [name for name in ("at_least", "at_most", "equal") if name in data]
        if not there:
            detail = "Say at_least, at_most or equal."
            raise refused(Flaw("no-bound", detail, {"members": ["at_least", "at_most", "equal"]}))
        if "equal" in data and len(there) > 1:
            flaw = Flaw("one-or-the-other", "equal leaves nothing to at_least or at_most.", {"members": ["equal"]})
            raise refused(flaw)
        if "within" in data and "equal" not in data:
            flaw = Flaw("no-equal", "within says how near to equal is near enough.", {"members": ["equal"]})
            raise ValidationError({"within": [flaw]})
        if len(there) == 2 and data["at_least"] > data["at_most"]:
            flaw = Flaw("not-in-order", "at_least is at most at_most.", {"maximum": data["at_most"]})
            raise ValidationError({"at_least": [flaw]})
        if "equal" in data and "within" not in data and not isinstance(data["equal"], str):
            data["within"] = six_digits(WITHIN * (abs(data["equal"]) or 1.0))
        return data


class BoundField(StrictField):
    """What is asked of one figure: `at_least`, `at_most`, or `equal` with `within`; of a word `equal` alone."""

    def __init__(self, figure: Figure) -> None:
        super().__init__(figure.parameter.title, figure.parameter.help, load_default=missing)
        parameter = figure.parameter
        if figure.counted:
            near = replace(parameter, minimum=0.0, title="Within", help="How near is near enough.")
            members = {name: OptionalParameterField(parameter) for name in ("at_least", "at_most", "equal")}
            members["within"] = OptionalParameterField(near)
            self.schema = schema(_Bounds, **members)
        else:
            self.schema = schema(equal=ParameterField(parameter, required=True))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, Mapping):
            members = sorted(self.schema.fields)
            raise refused(Flaw("not-an-object", f"This is an object with {', '.join(members)}.", {"members": members}))
        return self.schema.load(value)

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, **object_schema(self.schema)}


class FreeField(RangeField):
    """The range of a free number, `minimum` to `maximum` in `step`s, or the `choices` of a word.

    What is left out is the parameter's own range; without a step a number is as fine as a request can tell it.
    """

    def __init__(self, parameter: Parameter) -> None:
        if parameter.kind == "choice":
            super().__init__(parameter)
            return
        finest = 1.0 if parameter.kind == "whole" else 0.0001
        widest = parameter.maximum - parameter.minimum
        step = replace(parameter, name="step", title="Step", help="From one value to the next.", minimum=finest)
        step = replace(step, maximum=max(widest, finest), default=1 if parameter.kind == "whole" else 0.0)
        own = OptionalParameterField(step) if parameter.kind != "whole" else ParameterField(step)
        super().__init__(parameter, {"step": own})


class GoalField(StrictField):
    """A goal by its name, or a figure to be `greatest` or `least`, or a bait to be `nearest` to.

    In normal form an object of one member; left out, `nearest`.
    """

    def __init__(self) -> None:
        super().__init__("Goal", "What the bait is to have the most or the least of.", load_default=dict)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        names = (*GOALS, NEAREST)
        if isinstance(value, str) and value in names:
            if value == NEAREST:
                return {NEAREST: {}}
            goal = GOALS[value]
            return {"greatest" if goal.greatest else "least": goal.figure}
        members = ("greatest", "least", NEAREST)
        if isinstance(value, Mapping) and len(value) == 1 and next(iter(value)) in members:
            ((way, what),) = value.items()
            if way == NEAREST:
                if not isinstance(what, Mapping):
                    raise ValidationError({NEAREST: [Flaw("not-an-object", "Free values, by their names.")]})
                return {NEAREST: dict(what)}
            if not isinstance(what, str) or what not in COUNTED:
                allowed = {"choices": list(COUNTED)}
                raise ValidationError({way: [Flaw("not-a-choice", f"One of {', '.join(COUNTED)}.", allowed)]})
            return {way: what}
        detail = f"One of {', '.join(names)}, or an object with greatest, least or nearest."
        raise refused(Flaw("not-a-goal", detail, {"choices": list(names), "members": list(members)}))

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        figure = {"type": "string", "enum": list(COUNTED)}
        forms = [
            {"type": "string", "enum": [*GOALS, NEAREST]},
            *(
                {
                    "type": "object",
                    "additionalProperties": False,
                    "required": [way],
                    "properties": {way: figure if way != NEAREST else {"type": "object"}},
                }
                for way in ("greatest", "least", NEAREST)
            ),
        ]
        return {**self.said, "default": NEAREST, "anyOf": forms}


PULL_AXES = ("trunk_pull_n", "weakest_pull_n", "pull_over_limit")
BENDING_AXES = ("flexibility_ratio", "tip_give_up_down_mm_per_mn", "tip_give_side_mm_per_mn")


def _axis(name: str, title: str, names: tuple[str, ...]) -> ParameterField:
    text = "; ".join(f"{each}: {FIGURES[each].parameter.title}" for each in names) + "."
    return ParameterField(Parameter(name, "choice", title, text, default=names[0], choices=names))


_FRONT = schema(
    pull=_axis("pull", "Pull", PULL_AXES),
    flexibility=_axis("flexibility", "Flexibility", BENDING_AXES),
    points=ParameterField(
        Parameter(
            "points",
            "whole",
            "Points",
            "Baits along the front, at most.",
            default=12,
            minimum=3,
            maximum=MOST_POINTS,
            step=1,
        )
    ),
)


class FrontField(StrictField):
    """Whether the front of pull against flexibility is wanted: true, or an object that says of what."""

    def __init__(self) -> None:
        super().__init__("Front", "The baits that no other beats on both pull and flexibility.", load_default=missing)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if isinstance(value, Mapping):
            return _FRONT.load(value)
        if isinstance(value, bool):
            return _FRONT.load({}) if value else {}
        raise refused(Flaw("not-a-flag", "This is true or false, or an object.", {"members": sorted(_FRONT.fields)}))

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, "default": False, "anyOf": [{"type": "boolean"}, object_schema(_FRONT)]}
