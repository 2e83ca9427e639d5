"""Archives of ours read by Python's own reader."""

from __future__ import annotations

import io
import zipfile

from worker.files.archive import zip_archive

MEMBERS = {"first.txt": b"one line\n" * 5000, "empty": b"", "bo\u00eete/\U0001f41f.bin": bytes(range(256))}


def test_members_come_back_in_their_order_without_a_date() -> None:
    with zipfile.ZipFile(io.BytesIO(zip_archive(MEMBERS))) as archive:
        assert archive.testzip() is None
        assert [entry.filename for entry in archive.infolist()] == list(MEMBERS)
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {name: archive.read(name) for name in MEMBERS} == MEMBERS


def test_text_is_deflated() -> None:
    assert len(zip_archive({"first.txt": MEMBERS["first.txt"]})) < len(MEMBERS["first.txt"]) / 50
