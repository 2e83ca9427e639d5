"""The keys as a running service knows them: read again whenever their file has changed."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from service.errors import KeysUnreadable
from service.keys.book import in_words, read_keys
from service.keys.key import Key, id_in, opens

# A file system's clock goes in steps: of a file that was changed just before it was read, a second change may show the
# same time. Such a reading is not relied on for the next request.
SETTLED_NS = 1_000_000_000

_log = logging.getLogger("pourwright.service")
_Stamp = tuple[int, int, int]


def _now() -> datetime:
    return datetime.now(UTC)


class WatchedKeys:
    """Looks at the file before every answer, which costs microseconds: a key that is revoked is refused at once."""

    def __init__(self, path: Path, now: Callable[[], datetime] = _now) -> None:
        self._path = path
        self._place = str(path)  # every call looks here, and a path that is text is looked at sooner
        self._now = now
        self._lock = threading.Lock()
        self._kept: tuple[_Stamp, Mapping[str, Key]] | None = None
        self._were_there = False

    def used(self) -> bool:
        """Whether calls need a key. Once they did they always do, even where the file has gone since."""
        return self._known() is not None

    def holder(self, token: str) -> Key | None:
        """The key that this token is of, if it is active now. Raises KeysUnreadable."""
        key = (self._known() or {}).get(id_in(token) or "")
        return key if key is not None and opens(token, key) and key.state(self._now()) == "active" else None

    def named(self, key_id: str) -> Key | None:
        """The key of this id, if it is active now. Raises KeysUnreadable."""
        key = (self._known() or {}).get(key_id)
        return key if key is not None and key.state(self._now()) == "active" else None

    def _known(self) -> Mapping[str, Key] | None:
        try:
            found = os.stat(self._place)
        except FileNotFoundError:
            return {} if self._were_there else None
        except OSError as reason:
            raise self._unreadable(reason) from reason
        stamp = found.st_ino, found.st_mtime_ns, found.st_size
        kept = self._kept
        if kept is not None and kept[0] == stamp:
            return kept[1]
        with self._lock:
            began = time.time_ns()
            try:
                keys = read_keys(self._path)
            except (OSError, ValueError) as reason:
                raise self._unreadable(reason) from reason
            if keys is None:  # it went between the two looks
                return {} if self._were_there else None
            self._were_there = True
            self._kept = (stamp, keys) if began - stamp[1] > SETTLED_NS else None
            return keys

    def _unreadable(self, reason: Exception) -> KeysUnreadable:
        _log.error("the keys cannot be read", extra={"file": str(self._path), "reason": in_words(reason)})
        return KeysUnreadable("The service cannot read its keys, so it lets nobody in; the log has the reason.")
