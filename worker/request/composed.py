"""marshmallow fields that hold others: objects, lists, one of several objects; strict, each with its JSON Schema."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, ClassVar, cast

from marshmallow import RAISE, Schema, ValidationError, fields, missing, post_load, pre_load

from worker.request.faults import Flaw
from worker.request.fields import HeldField, ParameterField, StrictField, refused
from worker.values.parameter import Parameter
from worker.values.rows import Rows

MOST_UNKNOWN = 64
"""Members beyond those that there are, from which they are no longer named one by one."""


class StrictSchema(Schema):
    """Refuses unknown members and says which there are.

    `says`: what a JSON Schema adds where members depend on one another; `whole` then checks and completes them.
    """

    says: ClassVar[Mapping[str, Any]] = {}

    class Meta:
        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        members = {"members": sorted(name for name, one in self.fields.items() if not isinstance(one, HeldField))}
        self.not_an_object = Flaw("not-an-object", "This is a JSON object.", members)
        self.error_messages = {
            **self.error_messages,
            "unknown": cast(str, Flaw("unknown-member", "There is no such member here.", members)),
            "type": cast(str, self.not_an_object),
        }

    @pre_load
    def _count(self, data: Any, **options: Any) -> Any:
        """Thousands of unknown members are one fault, not thousands."""
        if isinstance(data, Mapping) and len(data) > len(self.fields) + MOST_UNKNOWN:
            raise refused(Flaw("too-many-members", f"{len(data)} members.", {"members": sorted(self.fields)}))
        return data

    @post_load
    def _whole(self, data: dict[str, Any], **options: Any) -> dict[str, Any]:
        return self.whole(data)

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """The members together, in normal form. Raises ValidationError."""
        return data


def schema(like: type[StrictSchema] = StrictSchema, /, **members: Any) -> StrictSchema:
    """One strict schema of these fields."""
    return cast(StrictSchema, like.from_dict(members)())


def object_schema(of: StrictSchema) -> dict[str, Any]:
    """JSON Schema 2020-12 of an object that a schema reads."""
    required = [name for name, field in of.fields.items() if field.required]
    return {
        "type": "object",
        "additionalProperties": False,
        **({"required": required} if required else {}),
        "properties": {name: cast(StrictField, field).json_schema() for name, field in of.fields.items()},
        **of.says,
    }


class ObjectField(StrictField):
    """A nested object, read by its own strict schema.

    Left out, it is read as `{}` so that its defaults are written, or stays out of the normal form if `absent`.
    """

    def __init__(
        self, schema: StrictSchema, title: str = "", text: str = "", *, absent: bool = False, required: bool = False
    ) -> None:
        default = {"required": True} if required else {"load_default": missing if absent else lambda: schema.load({})}
        super().__init__(title, text, **default)
        self.schema = schema
        self.tell_missing(schema.not_an_object.allowed)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, Mapping):
            raise refused(self.schema.not_an_object)
        return self.schema.load(value)

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, **object_schema(self.schema)}


class ListField(StrictField):
    """From `fewest` to `most` items of one kind; every fault in every item is told at its own place."""

    def __init__(
        self,
        item: StrictField,
        fewest: int,
        most: int,
        title: str = "",
        text: str = "",
        *,
        default: list[Any] | None = None,
    ) -> None:
        super().__init__(title, text, **({"required": True} if default is None else {"load_default": default.copy}))
        self.item, self.fewest, self.most, self.default = item, fewest, most, default
        self.tell_missing({"type": "array", "minItems": fewest, "maxItems": most})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, list) or not self.fewest <= len(value) <= self.most:
            counted = f"{self.fewest}" if self.fewest == self.most else f"{self.fewest} to {self.most}"
            raise refused(Flaw("not-a-list", f"This is a list of {counted} items.", self.allowed()))
        return each_item(value, self.item)

    def allowed(self) -> dict[str, object]:
        """What a caller may send, for a fault's `allowed`."""
        return {"type": "array", "minItems": self.fewest, "maxItems": self.most}

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        default = {} if self.default is None else {"default": self.default}
        count = {"minItems": self.fewest, "maxItems": self.most}
        return {**self.said, **default, "type": "array", **count, "items": self.item.json_schema()}


class RowsField(ListField):
    """A list of objects made from `Rows`."""

    def __init__(self, rows: Rows) -> None:
        members = {member.name: ParameterField(member) for member in rows.members}
        item = ObjectField(schema(**members))
        super().__init__(item, rows.fewest, rows.most, rows.title, rows.help, default=rows.written())
        self.load_default = rows.written  # fresh rows each time
        self.rows = rows

    def allowed(self) -> dict[str, object]:
        """See ListField."""
        return self.rows.allowed()

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return self.rows.json_schema()


class EitherField(StrictField):
    """One of several objects. `pick` names which, or raises ValidationError; left out, the `default` is read."""

    def __init__(
        self,
        schemas: Mapping[str, StrictSchema],
        pick: Callable[[Mapping[str, Any]], str],
        title: str = "",
        text: str = "",
        *,
        default: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(title, text, **({"required": True} if default is None else {}))
        self.schemas, self.pick, self.default = schemas, pick, default
        self.members = {"members": sorted({name for one in schemas.values() for name in one.fields})}
        self.tell_missing(self.members)
        if default is not None:
            self.load_default = lambda: self.deserialize(dict(default))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, Mapping):
            raise refused(Flaw("not-an-object", "This is a JSON object.", self.members))
        return self.schemas[self.pick(value)].load(value)

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        default = {} if self.default is None else {"default": dict(self.default)}
        return {**self.said, **default, "oneOf": [object_schema(one) for one in self.schemas.values()]}


def by_tag(tag: str, values: tuple[str, ...]) -> Callable[[Mapping[str, Any]], str]:
    """Picks by the value of a member that every one of the objects has."""
    allowed = {"choices": list(values)}

    def pick(value: Mapping[str, Any]) -> str:
        if tag not in value:
            raise ValidationError({tag: [Flaw("missing", "This member has to be there.", allowed)]})
        named = value[tag]
        if not isinstance(named, str) or named not in values:
            raise ValidationError({tag: [Flaw("not-a-choice", f"One of {', '.join(values)}.", allowed)]})
        return named

    return pick


def by_member(names: tuple[str, ...]) -> Callable[[Mapping[str, Any]], str]:
    """Picks by which one of several members is there."""

    def pick(value: Mapping[str, Any]) -> str:
        there = [name for name in names if name in value]
        if len(there) != 1:
            raise refused(
                Flaw("one-of", f"Exactly one of {', '.join(names)} has to be there.", {"members": list(names)})
            )
        return there[0]

    return pick


def each_item(values: list[Any], item: fields.Field[Any]) -> list[Any]:
    """Every item as `item` reads it. Raises ValidationError with the flaws of all of them under their indices."""
    read, flaws = [], {}
    for index, value in enumerate(values):
        try:
            read.append(item.deserialize(value))
        except ValidationError as error:
            flaws[index] = error.messages
    if flaws:
        raise ValidationError(cast("dict[str, Any]", flaws))
    return read


def field_of(parameter: Parameter | Rows) -> StrictField:
    """The field that reads a parameter of either kind."""
    return RowsField(parameter) if isinstance(parameter, Rows) else ParameterField(parameter)
