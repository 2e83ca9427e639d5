"""What a caller keeps by name: house styles, plastics of his own, webhooks. Changes need the scope `admin`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from pourwright_client import reading
from pourwright_client.encoding import JSON_BODY, encoded
from pourwright_client.records import Json, Webhook
from pourwright_client.transport import Deadline, Transport


class Shelf:
    """Things that have names below one address. A change is not sent twice: it is unknown whether it was done."""

    place: str

    def __init__(self, transport: Transport, patience_s: float) -> None:
        self._transport = transport
        self._patience_s = patience_s

    def forget(self, name: str) -> None:
        """Removes it. Raises NotThere."""
        self._call("DELETE", name)

    def _call(self, method: str, name: str = "", body: object = None, more: str = "") -> Any:
        where = f"{self.place}/{quote(name, safe='')}{more}" if name else self.place
        deadline = Deadline.within(self._patience_s)
        if body is None:
            answer = self._transport.call(method, where, deadline, repeatable=method == "GET")
        else:
            answer = self._transport.call(
                method, where, deadline, body=encoded(body), headers=JSON_BODY, repeatable=False
            )
        return answer.json() if answer.content else None


class HouseStyles(Shelf):
    """Styles of the caller's own, each a built-in one that is narrower. As JSON: see the OpenAPI document."""

    place = "/v1/styles"

    def list(self) -> tuple[Json, ...]:
        """All of them; `Client.styles` tells the built-in ones too."""
        return tuple(style for style in self._call("GET")["styles"] if "definition" in style)

    def get(self, name: str) -> Json:
        """One: told as any style, and its `definition`, which can be kept again. Raises NotThere."""
        told: Json = self._call("GET", name)
        return told

    def keep(self, name: str, definition: Json) -> Json:
        """Makes or replaces one. Raises Clash for a built-in name, Refused with every fault of the definition."""
        told: Json = self._call("PUT", name, definition)
        return told


class Plastics(Shelf):
    """Plastics: the built-in grades, and those of the caller's own. As JSON: see the OpenAPI document."""

    place = "/v1/plastics"

    def list(self) -> tuple[Json, ...]:
        """All of them."""
        return tuple(self._call("GET")["plastics"])

    def get(self, name: str) -> Json:
        """One. Raises NotThere."""
        told: Json = self._call("GET", name)
        return told

    def keep(self, name: str, definition: Json) -> Json:
        """Makes or replaces one. Raises Clash for a built-in name."""
        told: Json = self._call("PUT", name, definition)
        return told

    def measure(self, name: str, measurements: Json) -> Json:
        """Puts what was measured on test pieces in its place; tells which kept baits answer otherwise by it."""
        told: Json = self._call("POST", name, measurements, "/measurements")
        return told


class Webhooks(Shelf):
    """Where the service tells of baits and fits that have ended. Who receives that needs `webhooks.verify`."""

    place = "/v1/webhooks"

    def list(self) -> tuple[Webhook, ...]:
        """All of them."""
        return tuple(reading.webhook(one) for one in self._call("GET")["webhooks"])

    def get(self, name: str) -> Webhook:
        """One, with how its deliveries go. Raises NotThere."""
        return reading.webhook(self._call("GET", name))

    def keep(
        self, name: str, address: str, *, events: Iterable[str] | None = None, new_secret: bool = False
    ) -> Webhook:
        """Makes or changes one. Its `secret` is in the answer that makes it, and after `new_secret`: store it then."""
        wanted: dict[str, Any] = {"address": address}
        if events is not None:
            wanted["events"] = sorted(events)
        if new_secret:
            wanted["new_secret"] = True
        return reading.webhook(self._call("PUT", name, wanted))
