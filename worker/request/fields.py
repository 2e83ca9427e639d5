"""marshmallow fields and the base schema of every object in a request: strict, with flaws in place of texts."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from typing import Any, cast

from marshmallow import RAISE, Schema, ValidationError, fields, missing, pre_load

from worker.request.faults import Flaw
from worker.values.colours import NotAColour, parse_colour
from worker.values.parameter import Parameter, Unacceptable
from worker.values.rows import Rows

MOST_UNKNOWN = 64
"""Members beyond those that there are, from which they are no longer named one by one."""

_NULL = Flaw("null", "null is not a value here; leave the member out to get its default.")
_NOT_AN_OBJECT = Flaw("not-an-object", "This is a JSON object.", {"type": "object"})


class StrictSchema(Schema):
    """Refuses unknown members and says which there are."""

    class Meta:
        unknown = RAISE

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        members = {"members": sorted(self.fields)}
        self.error_messages = {
            **self.error_messages,
            "unknown": cast(str, Flaw("unknown-member", "There is no such member here.", members)),
            "type": cast(str, Flaw("not-an-object", "This is a JSON object.", members)),
        }

    @pre_load
    def _count(self, data: Any, **options: Any) -> Any:
        """Thousands of unknown members are one fault, not thousands."""
        if isinstance(data, Mapping) and len(data) > len(self.fields) + MOST_UNKNOWN:
            raise _fail(Flaw("too-many-members", f"{len(data)} members.", {"members": sorted(self.fields)}))
        return data


def _fail(flaw: Flaw) -> ValidationError:
    return ValidationError([flaw])


class _Strict(fields.Field[Any]):
    """A field whose own messages are flaws too."""

    def __init__(self, **options: Any) -> None:
        required = Flaw("missing", "This member has to be there.")
        super().__init__(error_messages={"null": cast(str, [_NULL]), "required": cast(str, [required])}, **options)


class ParameterField(_Strict):
    """A field made from a `Parameter`; its default is written where the request leaves it out."""

    def __init__(self, parameter: Parameter, *, required: bool = False) -> None:
        if required:
            super().__init__(required=True)
        else:
            super().__init__(load_default=parameter.default)
        self.parameter = parameter

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        try:
            return self.parameter.parse(value)
        except Unacceptable as error:
            raise _fail(Flaw(error.code, f"{error}.", self.parameter.allowed())) from None


class OptionalParameterField(ParameterField):
    """As above, but absent from the normal form where the request leaves it out."""

    def __init__(self, parameter: Parameter) -> None:
        super().__init__(parameter)
        self.load_default = missing


class ColourField(_Strict):
    """A colour of CSS Color 4, kept as `#rrggbb` in sRGB."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        try:
            return parse_colour(value)
        except NotAColour as error:
            raise _fail(Flaw("not-a-colour", f"{error}.", {"written": "CSS Color 4"})) from None


class TextField(_Strict):
    """NFC text of one line, at most `longest` characters."""

    def __init__(self, longest: int, **options: Any) -> None:
        super().__init__(**options)
        self.longest = longest

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        text = unicodedata.normalize("NFC", value) if isinstance(value, str) else None
        if text is None or not 0 < len(text) <= self.longest or not text.isprintable():
            raise _fail(
                Flaw(
                    "not-a-text",
                    f"This is one line of 1 to {self.longest} characters.",
                    {"maxLength": self.longest},
                )
            )
        return text


class RawField(_Strict):
    """Passed over here: another schema reads it."""

    def __init__(self) -> None:
        super().__init__(load_default=dict)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        return value


class FlagField(_Strict):
    """true or false, and nothing that only looks like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, bool):
            raise _fail(Flaw("not-a-flag", "This is true or false.", {"type": "boolean"}))
        return value


class ChoicesField(_Strict):
    """A list of names out of `choices`, kept as a sorted set."""

    def __init__(self, choices: Iterable[str], **options: Any) -> None:
        super().__init__(**options)
        self.choices = tuple(choices)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        allowed = {"choices": list(self.choices)}
        if not isinstance(value, list) or len(value) > 64:
            raise _fail(Flaw("not-a-list", "This is a list of names.", allowed))
        flaws = {
            index: [Flaw("not-a-choice", f"One of {', '.join(self.choices)}.", allowed)]
            for index, item in enumerate(value)
            if not isinstance(item, str) or item not in self.choices
        }
        if flaws:
            raise ValidationError(cast("dict[str, Any]", flaws))
        return sorted(set(value))


class ObjectField(_Strict):
    """A nested object, read by its own strict schema.

    Left out, it is read as `{}` so that its defaults are written, or stays out of the normal form if `absent`.
    """

    def __init__(self, schema: Schema, *, absent: bool = False, **options: Any) -> None:
        super().__init__(load_default=missing if absent else lambda: schema.load({}), **options)
        self.schema = schema

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, Mapping):
            raise _fail(_NOT_AN_OBJECT)
        return self.schema.load(value)


class RowsField(_Strict):
    """A list of objects made from `Rows`; every fault in every row is told at its own place."""

    def __init__(self, rows: Rows) -> None:
        super().__init__(load_default=rows.written)
        self.rows = rows
        self.schema = StrictSchema.from_dict({member.name: ParameterField(member) for member in rows.members})()

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, list) or not self.rows.fewest <= len(value) <= self.rows.most:
            raise _fail(Flaw("not-rows", f"This is a list of {self.rows.count_text()}.", self.rows.allowed()))
        return each_item(value, ObjectField(self.schema))


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


def field_of(parameter: Parameter | Rows) -> fields.Field[Any]:
    """The field that reads a parameter of either kind."""
    return RowsField(parameter) if isinstance(parameter, Rows) else ParameterField(parameter)
