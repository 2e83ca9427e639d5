"""What is kept of each batch: its items, and once it has ended how each of them did. A file a batch, beside the baits.

Not in the store: a thousand items are a quarter of a megabyte, which the store would hold in memory for as long as
anybody may ask.
"""

from __future__ import annotations

import json
import os
import re
import time
import uuid
from contextlib import suppress
from pathlib import Path
from typing import Any

from worker.records.durable import make_folders, sync, write_new
from worker.records.names import is_caller

FORM = 1
_BATCH = re.compile(r"[0-9a-f]{32}")

Document = dict[str, Any]


class BatchDocuments:
    """Files `batches/{caller}/{aa}/{id}.json`, each replaced whole. Every call may raise OSError."""

    def __init__(self, state_dir: Path) -> None:
        self._root = state_dir / "batches"
        self._aside = self._root / ".aside"  # no caller's name begins with a dot

    @staticmethod
    def new_id() -> str:
        """An id that nobody guesses."""
        return uuid.uuid4().hex

    def write(self, caller: str, document: Document) -> None:
        """Keep it, durably, in place of what was kept of this batch before."""
        path = self._path(caller, document["id"])
        aside = self._aside / uuid.uuid4().hex
        make_folders(self._aside)
        try:
            content = json.dumps({"form": FORM} | document, ensure_ascii=False, separators=(",", ":"))
            write_new(aside, content.encode())
            make_folders(path.parent)
            os.replace(aside, path)
        finally:
            with suppress(FileNotFoundError):
                aside.unlink()
        sync(path.parent)

    def read(self, caller: str, batch_id: str) -> Document | None:
        """What is kept of a batch; None where this caller has none by this id."""
        if not is_caller(caller) or not _BATCH.fullmatch(batch_id):
            return None
        try:
            document: Document = json.loads(self._path(caller, batch_id).read_bytes())
        except FileNotFoundError:
            return None
        return document

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """Something that is another after each `write`, cheaply had; None where this caller has none by this id."""
        if not is_caller(caller) or not _BATCH.fullmatch(batch_id):
            return None
        try:
            found = os.stat(self._path(caller, batch_id))
        except FileNotFoundError:
            return None
        return found.st_ino, found.st_mtime_ns, found.st_size

    def delete(self, caller: str, batch_id: str) -> None:
        """Keep nothing of it."""
        with suppress(FileNotFoundError):
            self._path(caller, batch_id).unlink()

    def sweep(self, closed_s: float, any_s: float) -> int:
        """Remove those dismissed or removed for so long, and any not written to for so long; returns how many."""
        now, removed = time.time(), 0
        for path in self._root.glob("*/*/*.json"):
            with suppress(FileNotFoundError):
                age = now - path.stat().st_mtime
                if age > any_s or (age > closed_s and _is_closed(json.loads(path.read_bytes()))):
                    path.unlink()
                    removed += 1
        for path in self._aside.glob("*"):
            with suppress(FileNotFoundError):
                if now - path.stat().st_mtime > closed_s:
                    path.unlink()
        return removed

    def _path(self, caller: str, batch_id: str) -> Path:
        return self._root / caller / batch_id[:2] / f"{batch_id}.json"


def _is_closed(document: Document) -> bool:
    ended = document.get("ended")
    return document.get("removed") is not None or (ended is not None and ended["dismissed"])
