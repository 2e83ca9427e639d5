"""The stored archive, read by two readers that are not ours: `zipfile`, and `unzip` where it is installed."""

from __future__ import annotations

import io
import random
import shutil
import subprocess
import zipfile
import zlib
from pathlib import Path

import pytest

from worker.files.stored_archive import Member, StoredArchive


class Whole(io.RawIOBase):
    """An archive as a file, so that a reader may go where it likes without a byte of the rest."""

    def __init__(self, archive: StoredArchive) -> None:
        self.archive, self.at, self.given = archive, 0, 0

    def seekable(self) -> bool:
        return True

    def readable(self) -> bool:
        return True

    def tell(self) -> int:
        return self.at

    def seek(self, offset: int, whence: int = 0) -> int:
        self.at = offset + (0, self.at, self.archive.length)[whence]
        return self.at

    def read(self, size: int = -1) -> bytes:
        last = self.archive.length - 1 if size < 0 else min(self.at + size, self.archive.length) - 1
        content = b"".join(self.archive.read(self.at, last)) if last >= self.at else b""
        self.at += len(content)
        self.given += len(content)
        return content


def member(folder: Path, name: str, content: bytes) -> Member:
    path = folder / name.replace("/", "_")
    path.write_bytes(content)
    return Member(name, len(content), zlib.crc32(content), path)


@pytest.fixture
def archive(tmp_path: Path) -> StoredArchive:
    names = ["0000-a/bait.stl", "0000-a/empty", "0001-größe/bäit.glb", "last"]
    contents = [bytes(range(256)) * 2000, b"", b"glb", b"x" * 300_001]
    told = Member("batch.json", 2, zlib.crc32(b"{}"), b"{}")
    return StoredArchive([told, *(member(tmp_path, *pair) for pair in zip(names, contents, strict=True))])


def test_other_readers_find_all_of_it(archive: StoredArchive, tmp_path: Path) -> None:
    whole = b"".join(archive.read(0, archive.length - 1))
    assert len(whole) == archive.length
    with zipfile.ZipFile(io.BytesIO(whole)) as opened:
        assert opened.testzip() is None
        assert [(one.filename, one.file_size, one.CRC) for one in opened.infolist()] == [
            (one.name, one.size, one.crc32) for one in archive.members
        ]
    if program := shutil.which("unzip"):
        (tmp_path / "all.zip").write_bytes(whole)
        tested = subprocess.run([program, "-tqq", str(tmp_path / "all.zip")], capture_output=True)
        assert tested.returncode == 0, tested.stdout


def test_every_stretch_is_that_of_the_whole(archive: StoredArchive) -> None:
    whole = b"".join(archive.read(0, archive.length - 1))
    drawn = random.Random(7)
    for _ in range(200):
        first = drawn.randrange(archive.length)
        last = drawn.randrange(first, archive.length)
        assert b"".join(archive.read(first, last)) == whole[first : last + 1]
    assert b"".join(archive.read(archive.length - 1, archive.length - 1)) == whole[-1:]


def test_beyond_four_gibibytes_it_is_zip64_and_a_reader_reads_no_more_than_it_wants(tmp_path: Path) -> None:
    # Given three files of 2 GiB that take no room, and a small one behind them
    size = 2**31
    hole = tmp_path / "hole"
    with open(hole, "wb") as file:
        file.truncate(size)
    large = [Member(f"hole {number}", size, 0, hole) for number in range(3)]
    archive = StoredArchive([*large, member(tmp_path, "behind", b"found")])
    assert archive.length > 3 * size
    # When a reader looks for the last
    through = Whole(archive)
    with zipfile.ZipFile(through) as opened:
        assert [one.file_size for one in opened.infolist()] == [size, size, size, 5]
        assert opened.getinfo("behind").header_offset > 2**32
        assert opened.read("behind") == b"found"
    # Then it has read little
    assert through.given < 1_000_000
    if program := shutil.which("zipinfo"):
        sparse = tmp_path / "sparse.zip"
        with open(sparse, "wb") as file:
            file.truncate(archive.length)
            start = archive.length - 1000
            file.seek(start)
            file.write(b"".join(archive.read(start, archive.length - 1)))
        listed = subprocess.run([program, "-1", str(sparse)], capture_output=True, text=True)
        assert listed.stdout.splitlines() == [one.name for one in archive.members]


def test_more_members_than_the_short_form_can_count() -> None:
    archive = StoredArchive(Member(f"{number}", 0, 0, b"") for number in range(70_000))
    with zipfile.ZipFile(Whole(archive)) as opened:
        assert len(opened.namelist()) == 70_000


def test_a_file_that_was_cut_since_ends_the_reading(tmp_path: Path) -> None:
    cut = member(tmp_path, "cut", b"0123456789")
    (tmp_path / "cut").write_bytes(b"0123")
    archive = StoredArchive([cut])
    with pytest.raises(OSError, match="shorter than it was"):
        list(archive.read(0, archive.length - 1))


def test_a_single_file_of_four_gibibytes_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="larger than 4 GiB"):
        StoredArchive([Member("huge", 2**32 - 1, 0, tmp_path / "huge")])
