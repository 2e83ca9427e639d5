"""What the small objects of a bucket tell: the manifest of a finished bait, and what is half there."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from worker.records.names import BaitName


@dataclass(frozen=True, slots=True)
class Told:
    """A manifest as it lies in the bucket, and where its files are."""

    content: bytes
    folder: str
    names: frozenset[str]
    manifest: dict[str, Any]

    @classmethod
    def read(cls, content: bytes) -> Told:
        """From the object's bytes."""
        told = json.loads(content)
        return cls(content, told["folder"], frozenset(told["names"]), told["manifest"])


@dataclass(frozen=True, slots=True)
class Half:
    """A bait that may be half there, and the folder of its files."""

    bait: BaitName
    folder: str

    @property
    def content(self) -> bytes:
        """The object's bytes."""
        return json.dumps([self.bait.caller, self.bait.id, self.folder]).encode()

    @classmethod
    def read(cls, content: bytes) -> Half | None:
        """None for what we did not write so: an object of a check that was cut off, or a stranger's."""
        try:
            caller, bait_id, folder = json.loads(content)
            return cls(BaitName(caller, bait_id), folder) if isinstance(folder, str) else None
        except (ValueError, TypeError):
            return None
