"""Keys of callers for tests."""

from __future__ import annotations

from datetime import UTC, datetime

from service.keys.book import KeyBook, keys_file
from service.keys.key import new_key
from service.scopes import SCOPES, Scope
from worker.settings import Settings

NOW = datetime(2026, 3, 1, 8, tzinfo=UTC)


def key(settings: Settings, *scopes: Scope, caller: str = "alder") -> dict[str, str]:
    """The headers of a call by this caller."""
    made, token = new_key(caller, scopes or SCOPES, "", NOW, None)
    KeyBook(keys_file(settings)).add(made)
    return {"Authorization": f"Bearer {token}"}
