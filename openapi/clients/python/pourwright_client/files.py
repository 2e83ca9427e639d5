"""Files and archives: read in pieces, gone on with where the line breaks, held against what was promised."""

from __future__ import annotations

import base64
import binascii
import contextlib
import hashlib
import re
import uuid
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import BinaryIO

from urllib3.exceptions import HTTPError

from pourwright_client.errors import Busy, Unreachable, WrongBytes
from pourwright_client.records import File
from pourwright_client.transport import FIRST_PAUSE_S, TRIES, Deadline, Transport

PIECE = 1 << 16
_SHA256 = re.compile(r"(?:^|,)\s*sha-256\s*=\s*:([A-Za-z0-9+/=]*):")


def repr_digest(headers: Mapping[str, str]) -> bytes | None:
    """The SHA-256 that `Repr-Digest` states (RFC 9530); None where it states none."""
    found = _SHA256.search(headers.get("Repr-Digest", ""))
    if not found:
        return None
    try:
        return base64.b64decode(found[1], validate=True)
    except binascii.Error:
        raise WrongBytes("Repr-Digest cannot be read") from None


def fetched(transport: Transport, file: File, into: BinaryIO, deadline: Deadline) -> None:
    """Writes a file's bytes. Raises WrongBytes where length, SHA-256 or Repr-Digest is not as the manifest says."""
    digest = hashlib.sha256()
    count = 0
    for piece, headers in _pieces(transport, file.href, deadline):
        stated = repr_digest(headers)
        if stated is not None and stated.hex() != file.sha256:
            raise WrongBytes(f"{file.name}: Repr-Digest is not the manifest's SHA-256")
        digest.update(piece)
        count += len(piece)
        into.write(piece)
    if count != file.bytes or digest.hexdigest() != file.sha256:
        raise WrongBytes(f"{file.name} is not what the service says it is: its length or its SHA-256 differs")


def archived(transport: Transport, href: str, into: BinaryIO, deadline: Deadline) -> None:
    """Writes a batch's archive, of which no digest is known before: its length is, and it is one version throughout."""
    for piece, _ in _pieces(transport, href, deadline):
        into.write(piece)


def _pieces(transport: Transport, href: str, deadline: Deadline) -> Iterator[tuple[bytes, Mapping[str, str]]]:
    """The bytes at an address. Where the line breaks it goes on by a range of the same version (If-Range)."""
    got, tag, failures = 0, "", 0
    while True:
        headers = {"Range": f"bytes={got}-", "If-Range": tag} if got else {}
        before = got
        try:
            with transport.open("GET", href, deadline, headers=headers) as answer:
                if got and (
                    answer.status != 206 or not answer.headers.get("Content-Range", "").startswith(f"bytes {got}-")
                ):
                    raise WrongBytes(f"{href} became another while it was read")
                tag = answer.headers.get("ETag", "")
                for piece in answer.stream(PIECE, decode_content=False):
                    got += len(piece)
                    yield piece, answer.headers
                return
        except Busy as busy:
            if not deadline.pause(max(FIRST_PAUSE_S, busy.retry_after_s or 1.0)):
                raise
        except HTTPError as lost:
            failures = 1 if got > before else failures + 1  # what moves is not given up
            if failures >= TRIES or (got and not tag) or not deadline.pause(FIRST_PAUSE_S * 4 ** (failures - 1)):
                raise Unreachable(f"{href}: {lost}") from lost


@contextlib.contextmanager
def whole_or_not(path: Path) -> Iterator[BinaryIO]:
    """A file that is at `path` once it is whole, and not at all where anything is raised."""
    path.parent.mkdir(parents=True, exist_ok=True)
    aside = path.with_name(f".{path.name}.{uuid.uuid4().hex}")
    try:
        with open(aside, "xb") as into:
            yield into
        aside.replace(path)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
