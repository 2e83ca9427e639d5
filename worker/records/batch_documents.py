"""What is kept of each batch: its items, how each of them did once it has ended, and whether it was removed.

Each fact is a file of its own, written once and never changed, so that of two who come at once nobody undoes what the
other wrote. Not in the store: a thousand items are a quarter of a megabyte, which the store would hold in memory for as
long as anybody may ask.
"""

from __future__ import annotations

import json
import os
import re
import time
import uuid
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from worker.errors import BatchUnreadable
from worker.records.durable import make_folders, sync, write_new
from worker.records.names import is_caller

FORM = 2
_BATCH = re.compile(r"[0-9a-f]{32}")
# The first makes it a batch; the other two each add one member, by their own name, to what is read of it.
PARTS = ITEMS, ENDED, REMOVED = ".json", ".ended", ".removed"

Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class KeptBatch:
    """A batch of which something is kept, and when that was last added to, in seconds of the epoch."""

    caller: str
    id: str
    written: float


class Documents(Protocol):
    """A place for what is kept of batches. Every call may raise OSError or ArtifactsUnavailable."""

    def create(self, caller: str, document: Document) -> None:
        """Keep a new batch, durably."""

    def end(self, caller: str, batch_id: str, ended: Document) -> None:
        """Keep how its baits did, durably, unless that is kept already: then the first word stays."""

    def mark_removed(self, caller: str, batch_id: str, when: str) -> None:
        """Keep, durably, that its caller has removed it."""

    def read(self, caller: str, batch_id: str) -> Document | None:
        """What is kept of a batch, with `ended` and `removed`, None until it is so; None where there is no such batch.

        Raises BatchUnreadable for what is not as we wrote it.
        """

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """Something that is another after each fact that is kept, cheaply had; None where there is no such batch."""

    def delete(self, caller: str, batch_id: str) -> None:
        """Keep nothing of it."""

    def kept(self) -> Iterator[KeptBatch]:
        """All of them, in no order; also those of which only a part is left."""

    def sweep_aside(self, older_than_s: float) -> None:
        """Remove what was left half written."""


def new_batch_id() -> str:
    """An id that nobody guesses."""
    return uuid.uuid4().hex


def is_batch(batch_id: str) -> bool:
    """Whether a batch may be called so."""
    return _BATCH.fullmatch(batch_id) is not None


def put_together(batch_id: str, part: Callable[[str], Any]) -> Document | None:
    """A batch of its parts, as `read` gives it."""
    document = part(ITEMS)
    if document is None:
        return None
    ended, removed = part(ENDED), part(REMOVED)
    if not isinstance(document, dict) or not isinstance(document.get("items"), list):
        raise BatchUnreadable(f"What is kept of batch {batch_id} is no batch.")
    return document | {"ended": ended, "removed": removed}


class BatchDocuments:
    """Files `batches/{caller}/{aa}/{id}.json`, `.ended`, `.removed`. See Documents; every call may raise OSError."""

    def __init__(self, state_dir: Path) -> None:
        self._root = state_dir / "batches"
        self._aside = self._root / ".aside"  # no caller's name begins with a dot

    def create(self, caller: str, document: Document) -> None:
        """See Documents."""
        self._add(self._path(caller, document["id"], ITEMS), {"form": FORM} | document)

    def end(self, caller: str, batch_id: str, ended: Document) -> None:
        """See Documents."""
        self._add(self._path(caller, batch_id, ENDED), ended)

    def mark_removed(self, caller: str, batch_id: str, when: str) -> None:
        """See Documents."""
        self._add(self._path(caller, batch_id, REMOVED), when)

    def read(self, caller: str, batch_id: str) -> Document | None:
        """See Documents."""
        if not is_caller(caller) or not is_batch(batch_id):
            return None
        return put_together(batch_id, lambda part: self._part(caller, batch_id, part))

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """See Documents."""
        if not is_caller(caller) or not is_batch(batch_id):
            return None
        seen = [self._seen(caller, batch_id, part) for part in PARTS]
        return None if seen[0] is None else tuple(seen)

    def _seen(self, caller: str, batch_id: str, part: str) -> tuple[int, int, int] | None:
        try:
            found = os.stat(self._path(caller, batch_id, part))
        except FileNotFoundError:
            return None
        return found.st_ino, found.st_mtime_ns, found.st_size

    def delete(self, caller: str, batch_id: str) -> None:
        """See Documents."""
        for part in PARTS:  # from the first on it is no batch
            with suppress(FileNotFoundError):
                self._path(caller, batch_id, part).unlink()

    def kept(self) -> Iterator[KeptBatch]:
        """See Documents."""
        for folder in self._root.glob("*/*"):
            written: dict[str, float] = {}
            for path in folder.iterdir() if folder.is_dir() else ():
                if path.suffix in PARTS and is_batch(path.stem):
                    with suppress(FileNotFoundError):
                        written[path.stem] = max(path.stat().st_mtime, written.get(path.stem, 0.0))
            if is_caller(folder.parent.name):
                yield from (KeptBatch(folder.parent.name, batch_id, when) for batch_id, when in written.items())

    def sweep_aside(self, older_than_s: float) -> None:
        """See Documents."""
        for path in self._aside.glob("*"):
            with suppress(FileNotFoundError):
                if time.time() - path.stat().st_mtime > older_than_s:
                    path.unlink()

    def _part(self, caller: str, batch_id: str, part: str) -> Any:
        path = self._path(caller, batch_id, part)
        try:
            return json.loads(path.read_bytes())
        except FileNotFoundError:
            return None
        except ValueError as error:
            raise BatchUnreadable(f"{path.name}, which is kept of a batch, cannot be read: {error}") from error

    def _add(self, path: Path, content: Any) -> None:
        """One file, there whole or not at all, and only where there is none."""
        aside = self._aside / uuid.uuid4().hex
        make_folders(self._aside)
        try:
            write_new(aside, json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode())
            make_folders(path.parent)
            with suppress(FileExistsError):
                os.link(aside, path)
        finally:
            with suppress(FileNotFoundError):
                aside.unlink()
        sync(path.parent)

    def _path(self, caller: str, batch_id: str, part: str) -> Path:
        return self._root / caller / batch_id[:2] / f"{batch_id}{part}"
