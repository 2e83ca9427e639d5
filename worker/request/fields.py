"""marshmallow fields of single values: strict, with flaws in place of texts, each with its JSON Schema 2020-12."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, cast

from marshmallow import ValidationError, fields, missing

from worker.request.faults import Flaw
from worker.values import stations
from worker.values.colours import NotAColour, parse_colour
from worker.values.parameter import Parameter, Unacceptable

JOINERS = "\u200c\u200d"
"""Of no width, and part of how a word or an emoji is spelt (The Unicode Standard, 23.2)."""
MISSING = Flaw("missing", "This member has to be there.")
_NULL = Flaw("null", "null is not a value here; leave the member out to get its default.")


def refused(flaw: Flaw) -> ValidationError:
    """The error of one flaw, to be raised."""
    return ValidationError([flaw])


class StrictField(fields.Field[Any]):
    """A field whose own messages are flaws too. `said`: its `title` and `description`, for schemas and documents."""

    def __init__(self, title: str = "", text: str = "", **options: Any) -> None:
        super().__init__(error_messages={"null": cast(str, [_NULL]), "required": cast(str, [MISSING])}, **options)
        self.said = {name: words for name, words in (("title", title), ("description", text)) if words}

    def tell_missing(self, allowed: object) -> None:
        """Where it has to be there and is not, this is what a caller may send."""
        self.error_messages["required"] = cast(str, [replace(MISSING, allowed=allowed)])

    def json_schema(self) -> dict[str, Any]:
        """JSON Schema 2020-12 of what is taken."""
        raise TypeError(f"no JSON Schema for {type(self).__name__}")


class ParameterField(StrictField):
    """A field made from a `Parameter`; its default is written where the request leaves it out."""

    def __init__(self, parameter: Parameter, *, required: bool = False) -> None:
        if required:
            super().__init__(required=True)
        else:
            super().__init__(load_default=parameter.default)
        self.parameter = parameter
        self.tell_missing(parameter.allowed())

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        try:
            return self.parameter.parse(value)
        except Unacceptable as error:
            raise refused(Flaw(error.code, f"{error}.", self.parameter.allowed())) from None

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        described = self.parameter.json_schema()
        # What has to be there has no default, and what is left out of the normal form has none either.
        written = not self.required and self.load_default is not missing
        return {name: part for name, part in described.items() if name != "default" or written}


class OptionalParameterField(ParameterField):
    """As above, but absent from the normal form where the request leaves it out."""

    def __init__(self, parameter: Parameter) -> None:
        super().__init__(parameter)
        self.load_default = missing


class WordOrLengthField(ParameterField):
    """One of a few words, or a length."""

    def __init__(self, words: Iterable[str], parameter: Parameter, default: str | None) -> None:
        """Without a default it is absent from the normal form where the request leaves it out."""
        super().__init__(parameter)
        self.words, self.load_default = tuple(words), missing if default is None else default

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if isinstance(value, str) and value in self.words:
            return value
        try:
            return self.parameter.parse(value)
        except Unacceptable as error:
            allowed = {"choices": list(self.words), **self.parameter.allowed()}
            detail = f"One of {', '.join(self.words)}, or a length {self.parameter.range_text()}."
            raise refused(Flaw(error.code, detail, allowed)) from None

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        length: dict[str, Any] = self.parameter.json_schema()
        length.pop("default")
        default = {} if self.load_default is missing else {"default": self.load_default}
        return {**length, **default, "anyOf": [{"enum": list(self.words)}, *length["anyOf"]]}


class StationField(StrictField):
    """A place along a strand: a fraction, or a length as text."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        try:
            return stations.parse_station(value)
        except Unacceptable as error:
            raise refused(Flaw(error.code, f"{str(error)[0].upper()}{str(error)[1:]}.", stations.ALLOWED)) from None

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        default = {} if self.required or self.load_default is missing else {"default": self.load_default}
        return {**self.said, **default, **stations.JSON_SCHEMA}


class ColourField(StrictField):
    """A colour of CSS Color 4, kept as `#rrggbb` in sRGB."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        try:
            return parse_colour(value)
        except NotAColour as error:
            raise refused(Flaw("not-a-colour", f"{error}.", {"written": "CSS Color 4"})) from None

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {"type": "string", "maxLength": 80, "description": "A colour of CSS Color 4."}


class TextField(StrictField):
    """NFC text of one line, at most `longest` characters."""

    def __init__(self, longest: int, title: str = "", text: str = "", **options: Any) -> None:
        super().__init__(title, text, **options)
        self.longest = longest
        self.tell_missing({"maxLength": longest})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        text = unicodedata.normalize("NFC", value) if isinstance(value, str) else None
        if text is None or not 0 < len(text) <= self.longest or (unprinted := _unprinted(text)):
            told = "" if not text or len(text) > self.longest else f"; {unprinted} is none that is printed"
            detail = f"This is one line of 1 to {self.longest} characters{told}."
            raise refused(Flaw("not-a-text", detail, {"maxLength": self.longest}))
        return text

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest, **self.said}


def _unprinted(text: str) -> str:
    """The first character of a text that does not print, by its number and name; empty where there is none."""
    found = next((each for each in text if not each.isprintable() and each not in JOINERS), None)
    return "" if found is None else f"U+{ord(found):04X} {unicodedata.name(found, '')}".strip()


class RawField(StrictField):
    """Passed over here: another schema reads it."""

    def __init__(self) -> None:
        super().__init__(load_default=missing)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        return value


class HeldField(StrictField):
    """What a house style holds fast: no request says it, nor does a schema tell of it."""

    def __init__(self, name: str, value: object) -> None:
        super().__init__(load_default=missing)
        told = f"{name} at {value}" if isinstance(value, (int, float, str)) else name
        self.flaw = Flaw("fixed", f"The house style holds {told} fast; leave it out.", {"const": value})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        raise refused(self.flaw)


class FlagField(StrictField):
    """true or false, and nothing that only looks like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if not isinstance(value, bool):
            raise refused(Flaw("not-a-flag", "This is true or false.", {"type": "boolean"}))
        return value

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, "type": "boolean", "default": False}


class ChoicesField(StrictField):
    """A list of names out of `choices`, kept as a sorted set."""

    def __init__(self, choices: Iterable[str], **options: Any) -> None:
        super().__init__(**options)
        self.choices = tuple(choices)
        self.tell_missing({"choices": list(self.choices)})

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        allowed = {"choices": list(self.choices)}
        if not isinstance(value, list) or len(value) > 64:
            raise refused(Flaw("not-a-list", "This is a list of names.", allowed))
        flaws = {
            index: [Flaw("not-a-choice", f"One of {', '.join(self.choices)}.", allowed)]
            for index, item in enumerate(value)
            if not isinstance(item, str) or item not in self.choices
        }
        if flaws:
            raise ValidationError(cast("dict[str, Any]", flaws))
        return sorted(set(value))

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {"type": "array", "maxItems": 64, "items": {"type": "string", "enum": list(self.choices)}}
