"""Objects of the open form whose members depend on one another, and the places at which something is repeated."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, ClassVar

from marshmallow import ValidationError

from worker.open_form import declared as d
from worker.request.composed import ListField, ObjectField, StrictSchema, schema
from worker.request.faults import Flaw
from worker.request.fields import ParameterField, StationField, StrictField
from worker.values.lengths import rounded_millimetres

_OTHER = Flaw("one-or-the-other", "This says what another member says already; leave one of them out.")


class GirthStationSchema(StrictSchema):
    """A section by width and back and belly, or height for both, or neither where it is round; normally all three."""

    says: ClassVar[Mapping[str, Any]] = {
        "dependentRequired": {"back": ["belly"], "belly": ["back"]},
        "dependentSchemas": {"height": {"properties": {"back": False, "belly": False}}},
    }

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        halves = [name for name in ("back", "belly") if name in data]
        if "height" in data and halves:
            raise ValidationError({"height": [_OTHER]})
        if len(halves) == 1:
            other = "belly" if halves == ["back"] else "back"
            raise ValidationError({other: [Flaw("missing", "Back and belly are said together, or a height for both.")]})
        if not halves:
            half = rounded_millimetres(Fraction(str(data.pop("height", data["width"]))) / 2)
            data["back"] = data["belly"] = half
        return {name: data[name] for name in ("at", "width", "back", "belly")}


class PitchOrCountSchema(StrictSchema):
    """Ribs or rings: from one to the next, or how many evenly; where neither is said, the pitch has its default."""

    says: ClassVar[Mapping[str, Any]] = {"dependentSchemas": {"pitch": {"properties": {"count": False}}}}

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if "pitch" in data and "count" in data:
            raise ValidationError({"count": [_OTHER]})
        pitch = self.fields["pitch"]
        if "count" not in data and isinstance(pitch, ParameterField):
            data.setdefault("pitch", pitch.parameter.default)
        return data


class StationsField(StrictField):
    """Places along a strand: a list of them, or so many evenly from one to another."""

    def __init__(self, title: str, text: str, *, default: list[Any] | None = None, optional: bool = False) -> None:
        needed = {"required": not optional} if default is None else {"load_default": default.copy}
        super().__init__(title, text, **needed)
        self.listed = ListField(StationField(), 1, d.MOST_STATIONS, default=default)
        ends = {"from": StationField("From", "The first.", required=True)}
        ends["to"] = StationField("To", "The last.", required=True)
        self.evenly = ObjectField(schema(**ends, count=ParameterField(d.EVEN_COUNT, required=True)))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        return (self.evenly if isinstance(value, Mapping) else self.listed).deserialize(value)

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        listed = self.listed.json_schema()
        default = {"default": listed.pop("default")} if "default" in listed else {}
        return {**self.said, **default, "anyOf": [listed, self.evenly.json_schema()]}
