"""Signed links: who holds one may fetch one file of one bait until it expires, without a key.

A signature is HMAC-SHA256 over caller, bait, file and expiry. Of several secrets the first signs and all verify, so
that a new one can be put in front while the links of the old one live out their time.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import os
import secrets
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from worker.request.composed import schema
from worker.request.faults import loaded
from worker.request.fields import ParameterField, TextField
from worker.settings import Settings
from worker.values.parameter import Parameter

SECRETS_FILE = "link_secrets"
LONGEST_S = 30 * 24 * 3600

SECONDS = Parameter(
    "seconds",
    "whole",
    "Seconds",
    "How long the link is good, from now.",
    default=24 * 3600,
    minimum=1,
    maximum=LONGEST_S,
    step=1,
    unit="s",
)
ASKED = schema(
    bait=TextField(64, "Bait", "The id of a finished bait.", required=True),
    file=TextField(100, "File", "A name out of the bait's `files`.", required=True),
    seconds=ParameterField(SECONDS),
)


def read_asked(body: object) -> dict[str, Any]:
    """The members of a request for a link. Raises InvalidRequest with every fault at once."""
    return loaded(ASKED, body)


def may_end_sooner(seconds: int, keep_hours: int, keep_mib: int) -> str | None:
    """What may end a link before its time, in a sentence: retention knows of no links. None where nothing may."""
    reasons = []
    if keep_hours and seconds > keep_hours * 3600:
        reasons.append(f"once nobody has asked for the bait for {keep_hours} hours")
    if keep_mib:
        reasons.append(f"where baits asked for later take {keep_mib} MiB")
    if not reasons:
        return None
    return f"The file may be cleared away before that, {', or '.join(reasons)}; to follow the link is to ask for it."


class LinkSigner:
    """Signs and verifies; `known` gives the secrets, newest first, and is asked each time, so that a change counts."""

    def __init__(self, known: Callable[[], tuple[str, ...]]) -> None:
        self._known = known

    @classmethod
    def open(cls, settings: Settings) -> LinkSigner:
        """With the secrets of the settings, or else those of a file in the state folder, made at the first link."""
        given = settings.link_secrets
        return cls(lambda: given or kept_secrets(settings.state_dir / SECRETS_FILE))

    def sign(self, caller: str, bait_id: str, name: str, expires: int) -> str:
        """The signature of a link that is good until `expires`, in seconds since 1970."""
        return _signature(self._known()[0], caller, bait_id, name, expires)

    def holds(self, signature: str, caller: str, bait_id: str, name: str, expires: int) -> bool:
        """Whether one of our secrets signed exactly this."""
        known = (_signature(secret, caller, bait_id, name, expires) for secret in self._known())
        return any(hmac.compare_digest(one.encode(), signature.encode()) for one in known)


def _signature(secret: str, caller: str, bait_id: str, name: str, expires: int) -> str:
    # None of the parts can hold a line's end, so no two links have one text.
    said = "\n".join(("pourwright link 1", caller, bait_id, name, str(expires)))
    digest = hmac.digest(secret.encode(), said.encode(), hashlib.sha256)
    return base64.urlsafe_b64encode(digest).rstrip(b"=").decode()


def kept_secrets(path: Path) -> tuple[str, ...]:
    """The secrets in a file, one a line, newest first; it is made, for its owner alone, where there is none.

    A file and not the store: a finished bait is served while the store is away, and hosts that share the folder of
    baits share this with it. Raises OSError.
    """
    for _ in range(2):
        with suppress(FileNotFoundError):
            if lines := tuple(line.strip() for line in path.read_text("ascii").splitlines() if line.strip()):
                return lines
        _make(path)
    raise OSError(f"{path.name} holds no secret")


def _make(path: Path) -> None:
    """A file with one new secret, there whole or not at all; another process may be first, and then its file stays."""
    path.parent.mkdir(parents=True, exist_ok=True)
    descriptor, aside = tempfile.mkstemp(prefix=".link-", dir=path.parent)
    try:
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(32) + "\n")
            file.flush()
            os.fsync(file.fileno())
        with suppress(FileExistsError):
            os.link(aside, path)
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)
    finally:
        os.unlink(aside)
