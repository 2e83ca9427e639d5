"""The files of a batch as one archive: a folder for each bait, and `batch.json`, which tells whose is which."""

from __future__ import annotations

import json
import re
import threading
import time
import zlib
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.answers import encode, etag_of
from service.interfaces import Baits
from service.turns import Turns
from worker.errors import Busy, UnknownResource
from worker.files.stored_archive import Member, Pieces, StoredArchive, pieces_of
from worker.records.batch_view import BatchView, ItemView
from worker.records.manifests import NOTE_USE_EVERY_S

AT_ONCE = 4
LOOKED_UP_AT_ONCE = 8
BUSY_RETRY_S = 15
LEAST_BYTES_PER_S = 16 * 1024
GRACE_S = 30.0
"""What keeps a place: so much on the average, beyond the first half minute (judgement)."""
REMEMBERED = 4
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class Archive:
    """An archive before a byte of it is read, and its strong tag."""

    stored: StoredArchive
    etag: str
    baits: tuple[str, ...]


class Sending:
    """An archive, or a part of it, as it is sent: it holds one of few places. The server closes it at its end, or when
    the client has gone; the place is given back once, however often it is closed.
    """

    def __init__(
        self,
        chunks: Iterator[bytes],
        places: threading.Semaphore,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._chunks = chunks
        self._places: threading.Semaphore | None = places
        self._clock = clock

    def __iter__(self) -> Iterator[bytes]:
        """The bytes. Raises TimeoutError, as a send that stalls does, for who takes next to nothing."""
        began, sent = self._clock(), 0
        for chunk in self._chunks:
            if sent < LEAST_BYTES_PER_S * (self._clock() - began - GRACE_S):
                raise TimeoutError(f"less than {LEAST_BYTES_PER_S} bytes of an archive a second")
            yield chunk
            sent += len(chunk)

    def close(self) -> None:
        """Give the place back."""
        places, self._places = self._places, None
        if places is not None:
            places.release()


def _using(chunks: Iterator[bytes], use: Callable[[], object]) -> Iterator[bytes]:
    noted = time.monotonic()
    for chunk in chunks:
        if time.monotonic() - noted >= NOTE_USE_EVERY_S:
            use()
            noted = time.monotonic()
        yield chunk


class Archives:
    """Archives of ended batches; the last few are remembered, for whoever asks for them in parts."""

    def __init__(self) -> None:
        self._places = threading.Semaphore(AT_ONCE)
        self._turns = Turns(AT_ONCE, "Other archives are being put together.")
        self._kept: OrderedDict[tuple[str, str], Archive] = OrderedDict()
        self._lock = threading.Lock()

    def sending(self, archive: Archive, first: int, last: int, use: Callable[[], object]) -> Sending:
        """These bytes of it, both ends included, to be sent. Raises Busy where all places are taken.

        `use` notes that the baits are asked for, and is called as long as they are: a slow client's are not swept.
        """
        if not self._places.acquire(blocking=False):
            raise Busy(f"{AT_ONCE} archives are being sent already.", BUSY_RETRY_S)
        return Sending(_using(archive.stored.read(first, last), use), self._places)

    def of(self, baits: Baits, caller: str, batch: BatchView) -> Archive:
        """The archive of a batch that has ended, without the baits removed since; the others are in use from now on.

        Put together one at a time: a thousand baits are looked at. Raises Busy where too many wait for that.
        """
        return self._known(baits, caller, batch) or self._turns.run(lambda: self._made(baits, caller, batch))

    def _known(self, baits: Baits, caller: str, batch: BatchView) -> Archive | None:
        with self._lock:
            kept = self._kept.get((caller, batch.id))
        return kept if kept is not None and baits.note_use(caller, kept.baits) else None

    def _made(self, baits: Baits, caller: str, batch: BatchView) -> Archive:
        # Whoever stood in line behind the one that made it finds it here.
        key, kept = (caller, batch.id), self._known(baits, caller, batch) or _archive(baits, caller, batch)
        with self._lock:
            self._kept[key] = kept
            self._kept.move_to_end(key)
            while len(self._kept) > REMEMBERED:
                self._kept.popitem(last=False)
        return kept


def _archive(baits: Baits, caller: str, batch: BatchView) -> Archive:
    members: list[Member] = []
    folders: dict[str, str] = {}
    # Equal items are one bait and so one folder, named after the first of them.
    asked: dict[str, str] = {}
    for item in batch.items:
        if item.id is not None and item.status == "successful" and item.id not in asked:
            asked[item.id] = _folder(item)
    with ThreadPoolExecutor(LOOKED_UP_AT_ONCE) as threads:  # each may take a few journeys to a bucket
        for (bait_id, folder), found in zip(
            asked.items(), threads.map(lambda one: _members(baits, caller, *one), asked.items()), strict=True
        ):
            if found:
                folders[bait_id] = folder
                members += found
    told = json.dumps(_told(batch, folders), ensure_ascii=False, indent=1).encode()
    stored = StoredArchive([Member("batch.json", len(told), zlib.crc32(told), told), *members])
    # What decides every byte: the names, the lengths and the sums of the contents.
    etag = etag_of(told + encode([(one.name, one.size, one.crc32) for one in members]) + "".join(folders).encode())
    return Archive(stored, etag, tuple(folders))


def _members(baits: Baits, caller: str, bait_id: str, folder: str) -> list[Member]:
    bait = baits.view(caller, bait_id)
    if bait is None or bait.status != "successful":
        return []
    try:
        return [_member(file, baits.file(caller, bait_id, file["name"]), folder) for file in bait.files]
    except (UnknownResource, FileNotFoundError):  # cleared away
        return []


def _member(file: Mapping[str, Any], content: Path | Pieces, folder: str) -> Member:
    crc32, size = file.get("crc32"), int(file["bytes"])
    return Member(f"{folder}/{file['name']}", size, _crc32(content, size) if crc32 is None else crc32, content)


def _crc32(content: Path | Pieces, size: int) -> int:
    """Of a bait whose manifest does not tell it: one that was built before they did."""
    total = 0
    for piece in pieces_of(content, 0, size):
        total = zlib.crc32(piece, total)
    return total


def _folder(item: ItemView) -> str:
    """The index, which no other has, and the label or the id in letters that every file system takes."""
    assert item.id is not None
    name = re.sub(r"[^0-9A-Za-z._-]+", "-", item.label or "").strip("-.")[:LONGEST_NAME].rstrip("-.")
    return f"{item.index:04d}-{name or item.id[:8]}"


def _told(batch: BatchView, folders: Mapping[str, str]) -> dict[str, Any]:
    return {
        "id": batch.id,
        "created": batch.created,
        "finished": batch.finished,
        "items": [
            {"index": item.index, "label": item.label, "bait": item.id, "status": item.status}
            | {"folder": folders.get(item.id or ""), "problem": item.problem}
            for item in batch.items
        ],
    }
