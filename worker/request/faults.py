"""From marshmallow's nested messages to a flat list of faults, each under its JSON pointer (RFC 6901)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from marshmallow import Schema, ValidationError

from worker.errors import Fault, InvalidRequest


@dataclass(frozen=True, slots=True)
class Flaw:
    """What our fields put in a validation message in place of a text: told apart by `code`, never by wording."""

    code: str
    detail: str
    allowed: object = None


def pointer(*steps: str | int) -> str:
    """RFC 6901: each step after a slash, `~` as `~0`, `/` as `~1`."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in steps)


def faults_in(messages: object, *place: str | int) -> Iterator[Fault]:
    """Every flaw below `messages`, as faults, in the order of the request's own members."""
    if isinstance(messages, Mapping):
        for name, below in messages.items():
            # marshmallow files what concerns a whole object under "_schema".
            yield from faults_in(below, *place, *(() if name == "_schema" else (name,)))
    elif isinstance(messages, Flaw):
        yield Fault(pointer(*(str(step)[:200] for step in place)), messages.code, messages.detail, messages.allowed)
    elif isinstance(messages, (list, tuple)):
        for item in messages:
            yield from faults_in(item, *place)
    else:
        yield Fault(pointer(*place), "not-allowed", str(messages))


def invalid(faults: Sequence[Fault], said_of: str = "The request has") -> InvalidRequest:
    """The refusal for these faults, counted in its sentence."""
    counted = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    return InvalidRequest(f"{said_of} {counted}; `errors` names each one.", faults)


def loaded(schema: Schema, body: object, said_of: str = "The request has") -> dict[str, Any]:
    """What a strict schema makes of a JSON value. Raises InvalidRequest with every fault at once."""
    try:
        return cast("dict[str, Any]", schema.load(cast("Mapping[str, Any]", body)))
    except ValidationError as error:
        raise invalid(list(faults_in(error.messages)), said_of) from None
