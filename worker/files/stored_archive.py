"""A ZIP archive of files as they lie on disk, of which any stretch of bytes can be had without the rest.

Members are stored, with length and CRC-32 known before the first byte goes out, so that the archive's length and every
member's place in it are arithmetic. Libraries that stream archives go from the first byte to the last: to resume a
download of gigabytes near its end they would read all of it again, and `zipfile` asks for the content to write a
header. So the container is written here, with the ZIP64 form where an archive is larger than 4 GiB.
"""

from __future__ import annotations

import struct
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

CHUNK = 256 * 1024

_PLAIN, _ZIP64 = 20, 45  # the versions that a reader needs
_NAMES_ARE_UTF8 = 0x0800
_TIME, _DATE = 0, 0x0021  # midnight on 1 January 1980, the format's own beginning: no file carries a date
_LARGEST, _MOST = 2**32 - 1, 2**16 - 1  # these very values say: see the ZIP64 form


class Pieces(Protocol):
    """Bytes that lie somewhere and can be had in part."""

    def read(self, low: int, high: int) -> Iterator[bytes]:
        """The bytes from `low` to before `high`. Raises OSError where they have gone or been cut."""


@dataclass(frozen=True, slots=True)
class Member:
    """One file of an archive, and where its bytes are."""

    name: str
    size: int
    crc32: int
    content: bytes | Path | Pieces


class StoredArchive:
    """PKWARE APPNOTE 6.3, sections 4.3.6 to 4.3.16. Raises ValueError for a single member of 4 GiB or more."""

    def __init__(self, members: Iterable[Member]) -> None:
        self.members = tuple(members)
        self._parts: list[tuple[bytes | Path | Pieces, int]] = []
        self._starts: list[int] = []
        self.length = 0
        directory = b"".join([self._add(member) for member in self.members])
        start = self.length
        self._append(directory, len(directory))
        end = _end(len(self.members), len(directory), start)
        self._append(end, len(end))

    def _add(self, member: Member) -> bytes:
        """Put a member at the end; its entry in the directory."""
        if member.size >= _LARGEST:
            raise ValueError(f"{member.name} is larger than 4 GiB")
        name, offset = member.name.encode(), self.length
        flags = 0 if member.name.isascii() else _NAMES_ARE_UTF8

        def common(needs: int, extra: bytes) -> bytes:
            sizes = (member.crc32, member.size, member.size, len(name), len(extra))
            return struct.pack("<HHHHHIIIHH", needs, flags, 0, _TIME, _DATE, *sizes)

        header = b"PK\x03\x04" + common(_PLAIN, b"") + name
        self._append(header, len(header))
        self._append(member.content, member.size)
        far = offset >= _LARGEST
        extra = struct.pack("<HHQ", 1, 8, offset) if far else b""
        needs = _ZIP64 if far else _PLAIN
        # no comment, the first disk, no attributes, where the member begins
        place = struct.pack("<HHHII", 0, 0, 0, 0, _LARGEST if far else offset)
        return b"PK\x01\x02" + struct.pack("<H", needs) + common(needs, extra) + place + name + extra

    def _append(self, content: bytes | Path | Pieces, length: int) -> None:
        if length:
            self._parts.append((content, length))
            self._starts.append(self.length)
            self.length += length

    def read(self, first: int, last: int) -> Iterator[bytes]:
        """The bytes from `first` to `last`, both included. Raises OSError where a file has gone or been cut."""
        at = bisect_right(self._starts, first) - 1
        for (content, length), start in zip(self._parts[at:], self._starts[at:], strict=True):
            if start > last:
                return
            low, high = max(first - start, 0), min(last - start + 1, length)
            if isinstance(content, bytes):
                yield content[low:high]
            else:
                yield from pieces_of(content, low, high)


def pieces_of(content: Path | Pieces, low: int, high: int) -> Iterator[bytes]:
    """The bytes of a file from `low` to before `high`. Raises OSError where it has gone or been cut."""
    return _of_file(content, low, high) if isinstance(content, Path) else content.read(low, high)


def _of_file(path: Path, low: int, high: int) -> Iterator[bytes]:
    with open(path, "rb") as file:
        file.seek(low)
        while low < high:
            chunk = file.read(min(CHUNK, high - low))
            if not chunk:
                raise OSError(f"{path.name} is shorter than it was")
            low += len(chunk)
            yield chunk


def _end(count: int, size: int, start: int) -> bytes:
    """The end of the directory, after its ZIP64 forms where a number does not fit."""
    long_form = b""
    if count >= _MOST or size >= _LARGEST or start >= _LARGEST:
        long_form = b"PK\x06\x06" + struct.pack("<QHHIIQQQQ", 44, _ZIP64, _ZIP64, 0, 0, count, count, size, start)
        long_form += b"PK\x06\x07" + struct.pack("<IQI", 0, start + size, 1)
    few, small, near = min(count, _MOST), min(size, _LARGEST), min(start, _LARGEST)
    return long_form + b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, few, few, small, near, 0)
