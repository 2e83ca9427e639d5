"""Where finished baits are kept, and what such a place can do.

`artifacts` has the one that is made of folders, `bucket_artifacts` that in a bucket; `places` opens either.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Any, Protocol

from worker.files.stored_archive import Pieces
from worker.records.names import AttemptName, BaitName

MANIFEST = "manifest.json"


@dataclass(frozen=True, slots=True)
class Kept:
    """A finished bait that is kept: when it was last asked for, in nanoseconds of the epoch, and its files' bytes."""

    bait: BaitName
    used: int
    bytes: int


def require_plain(names: Iterable[str]) -> None:
    """Raise ValueError for a file's name that is a path, or the manifest's."""
    if strange := [name for name in names if name in ("", "..", MANIFEST) or name != PurePath(name).name]:
        raise ValueError(f"no file of a bait may be called {strange}")


class ArtifactStore(Protocol):
    """A place for finished baits. Every call may raise OSError; that of a bucket, ArtifactsUnavailable."""

    def answers(self) -> bool:
        """Whether the place can be asked at present."""

    def put_all(
        self,
        attempt: AttemptName,
        files: Mapping[str, bytes],
        manifest: Mapping[str, Any],
        wanted: Callable[[], bool] = lambda: True,
    ) -> bool:
        """Keep a finished bait, durably, all of it or nothing.

        False where an earlier one is kept instead, or `wanted`, asked at the last moment, says no.
        """

    def stamp(self, bait: BaitName) -> object | None:
        """Something that changes whenever the manifest does, cheaply had; None without a manifest."""

    def stamps(self, baits: Collection[BaitName]) -> list[object | None]:
        """The same of many at once, an answer for each."""

    def read_manifest(self, bait: BaitName) -> dict[str, Any] | None:
        """The manifest, where the bait is finished."""

    def file(self, bait: BaitName, name: str) -> Path | Pieces | None:
        """A finished bait's file, by its path or as what can be read in pieces. It may go before it is read."""

    def delete(self, bait: BaitName) -> bool:
        """Remove a finished bait, files first unreadable all at once; False where there is none."""

    def clear(self, attempt: AttemptName) -> None:
        """Remove what an attempt that was cut off left half written."""

    def note_use(self, bait: BaitName) -> bool:
        """Note that a finished bait was asked for just now, so that it is kept; False where it is gone."""

    def note_uses(self, baits: Collection[BaitName]) -> list[bool]:
        """The same for many at once, an answer for each."""

    def shards(self) -> list[str]:
        """The parts in which finished baits lie, each small enough to be looked through at once."""

    def kept_in(self, shard: str) -> Iterator[Kept]:
        """The finished baits of a shard, in no order."""

    def delete_unused(self, kept: Kept) -> bool:
        """Remove a finished bait, unless it was asked for since it was looked at; False where it stays or is gone."""

    def sweep(self, older_than_s: float, is_alive: Callable[[str], bool] = lambda job_id: False) -> int:
        """Remove everything half written or half removed that is older than this; returns how much.

        What `is_alive` says yes to, by the name of a job, is somebody's present work and stays.
        """
