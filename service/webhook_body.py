"""What a caller sends to keep a webhook, read strictly, and what OpenAPI says of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from worker.errors import AddressForbidden
from worker.hooks.addresses import LONGEST, read_address
from worker.records.webhooks import EVENTS
from worker.request.composed import StrictSchema, object_schema, schema
from worker.request.faults import Flaw, loaded
from worker.request.fields import ChoicesField, FlagField, StrictField, refused

MOST = 20
"""Webhooks that one caller may keep."""
EVENT_NAMES = tuple(EVENTS.values())


@dataclass(frozen=True, slots=True)
class Definition:
    """What was asked for."""

    address: str
    events: tuple[str, ...]
    new_secret: bool


class AddressField(StrictField):
    """An address that may be called; `listed` are origins that may be although they are not public."""

    def __init__(self, listed: tuple[str, ...]) -> None:
        super().__init__(
            "Address", "https, a public host, port 443 or 8443. Redirects are not followed.", required=True
        )
        self.listed = listed

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        allowed = {"maxLength": LONGEST, "written": "https://, a public host, a path"}
        if not isinstance(value, str):
            raise refused(Flaw("not-a-text", "An address is text.", allowed))
        try:
            read_address(value, self.listed)
        except AddressForbidden as error:
            raise refused(Flaw(AddressForbidden.kind, error.detail, allowed)) from None
        return value

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, "type": "string", "maxLength": LONGEST}


class EventsField(ChoicesField):
    """At least one kind of event."""

    def __init__(self) -> None:
        super().__init__(EVENT_NAMES, title="Events", text="What to hear of.", load_default=lambda: list(EVENT_NAMES))

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if value == []:
            raise refused(Flaw("not-a-list", "This is a list of at least one name.", {"choices": list(self.choices)}))
        return super()._deserialize(value, attr, data, **options)

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, **super().json_schema(), "minItems": 1, "default": list(EVENT_NAMES)}


@lru_cache(8)
def _definition(listed: tuple[str, ...]) -> StrictSchema:
    another = "Make another secret and show it; the old one signs beside it for a day."
    return schema(
        address=AddressField(listed),
        events=EventsField(),
        new_secret=FlagField("New secret", another, load_default=False),
    )


def read_definition(body: object, listed: tuple[str, ...] = ()) -> Definition:
    """A definition. Raises InvalidRequest with every fault at once; no name is resolved for it."""
    read = loaded(_definition(listed), body, "The webhook has")
    return Definition(read["address"], tuple(one for one in EVENT_NAMES if one in read["events"]), read["new_secret"])


def definition_schema() -> dict[str, Any]:
    """The same for OpenAPI."""
    return object_schema(_definition(()))
