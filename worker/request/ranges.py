"""A marshmallow field for part of what a parameter takes: a range of a number, or some of a choice's words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from marshmallow import ValidationError, missing

from worker.request.composed import StrictSchema, object_schema, schema
from worker.request.faults import Flaw
from worker.request.fields import ChoicesField, ParameterField, StrictField, refused
from worker.values.parameter import Parameter


class _Range(StrictSchema):
    """A range in order, wide enough for a step."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if data["minimum"] > data["maximum"]:
            flaw = Flaw("not-in-order", "minimum is at most maximum.", {"maximum": data["maximum"]})
            raise ValidationError({"minimum": [flaw]})
        return data


class _Choices(StrictSchema):
    """At least one."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if not data["choices"]:
            raise ValidationError({"choices": [Flaw("not-a-list", "At least one of them.", {"minItems": 1})]})
        return data


class RangeField(StrictField):
    """`minimum` and `maximum` of a number, or the `choices` of a word; what is left out is the parameter's own.

    `beside` are further members of a number's range.
    """

    def __init__(self, parameter: Parameter, beside: Mapping[str, StrictField] | None = None) -> None:
        super().__init__(parameter.title, parameter.help, load_default=missing)
        self.parameter = parameter
        if parameter.kind == "choice":
            choices = ChoicesField(parameter.choices, load_default=lambda: sorted(parameter.choices))
            self.schema = schema(_Choices, choices=choices)
            return
        least = replace(parameter, default=parameter.minimum)
        most = replace(parameter, default=parameter.maximum)
        self.schema = schema(_Range, minimum=ParameterField(least), maximum=ParameterField(most), **(beside or {}))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, Mapping):
            members = sorted(self.schema.fields)
            raise refused(Flaw("not-an-object", f"This is an object with {', '.join(members)}.", {"members": members}))
        read = self.schema.load(value)
        if self.parameter.kind == "whole":
            read = {name: int(number) for name, number in read.items()}
        return read

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, **object_schema(self.schema)}
