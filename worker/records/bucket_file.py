"""One file in a bucket, read in pieces: never whole in memory, and no call lasts as long as a slow client."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from worker.records.bucket import Bucket

PIECE = 1024 * 1024


class BucketFile:
    """Where a file's bytes are, and how to have them. `again` tells where it lies once it is not at `key`."""

    def __init__(self, bucket: Bucket, key: str, again: Callable[[], str | None]) -> None:
        self._bucket = bucket
        self._key = key
        self._again = again

    def read(self, low: int, high: int) -> Iterator[bytes]:
        """The bytes from `low` to before `high`, each piece fetched when it is wanted.

        Raises FileNotFoundError where it has gone, OSError where it is shorter, and ArtifactsUnavailable. A bait that
        was removed and built anew meanwhile has the same bytes in another folder.
        """
        key, moved = self._key, False
        while low < high:
            try:
                piece = self._bucket.read(key, low, min(high, low + PIECE))
            except FileNotFoundError:
                now = None if moved else self._again()
                if now is None or now == key:
                    raise
                key, moved = now, True
                continue
            if not piece:
                raise OSError(f"{key} is shorter than it was")
            low += len(piece)
            yield piece
