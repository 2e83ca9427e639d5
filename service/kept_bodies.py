"""Encoded bodies of what has ended, with their tags: it is asked for far more often than it changes."""

from __future__ import annotations

import threading
from collections import OrderedDict

from service.answers import etag_of

Tagged = tuple[bytes, str]
"""A body and its strong entity tag."""


class KeptBodies:
    """The last few; a key tells whose and which, and is another whenever the body is."""

    def __init__(self, limit: int) -> None:
        self._limit = limit
        self._kept: OrderedDict[tuple[object, ...], Tagged] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: tuple[object, ...]) -> Tagged | None:
        """What is kept under this key."""
        with self._lock:
            if (kept := self._kept.get(key)) is not None:
                self._kept.move_to_end(key)
            return kept

    def keep(self, key: tuple[object, ...], content: bytes) -> Tagged:
        """The body with its tag, from now on kept."""
        made = content, etag_of(content)
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > self._limit:
                self._kept.popitem(last=False)
        return made
