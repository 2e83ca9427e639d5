"""One key: whose it is, what it opens, until when; and the token that its holder sends.

A token carries 256 bits from the system's random source. Nobody guesses that, so the digest at rest is a plain
SHA-256: the slow, salted digests that passwords need would add nothing to it but tens of milliseconds to every
request, which anybody could spend for us.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from service.scopes import SCOPES, Scope
from worker.records.names import is_caller

LONGEST_LABEL = 100

# The first word lets a scanner know a token that got into a repository or a log; the second is the key's id, by which
# it is found, so that only the third has to be compared.
_TOKEN = re.compile(r"pourwright_(?P<id>[0-9a-f]{12})_(?P<secret>[A-Za-z0-9_-]{43})", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A key as it is kept: the digest of its token, never the token. Moments are in UTC."""

    id: str
    caller: str
    scopes: frozenset[Scope]
    label: str
    digest: str  # SHA-256 of the token, 64 hex digits
    created: datetime
    expires: datetime | None = None
    revoked: datetime | None = None

    def __post_init__(self) -> None:
        """Raises ValueError for what no command of ours would write."""
        if not re.fullmatch(r"[0-9a-f]{12}", self.id) or not re.fullmatch(r"[0-9a-f]{64}", self.digest):
            raise ValueError("a key's id has 12 and its digest 64 hex digits")
        if not is_caller(self.caller):
            raise ValueError("a caller is up to 64 of a-z, 0-9, _ and -, the first a letter or a digit")
        if not self.scopes:
            raise ValueError(f"a key opens at least one of {', '.join(SCOPES)}")
        if len(self.label) > LONGEST_LABEL or not self.label.isprintable():
            raise ValueError(f"a label has up to {LONGEST_LABEL} printable characters")
        if any(moment is not None and moment.tzinfo is None for moment in (self.created, self.expires, self.revoked)):
            raise ValueError("a key's moments name their time zone")

    def state(self, now: datetime) -> Literal["active", "expired", "revoked"]:
        """Whether it opens anything at this moment."""
        if self.revoked is not None:
            return "revoked"
        return "expired" if self.expires is not None and self.expires <= now else "active"


def new_key(
    caller: str, scopes: Iterable[Scope], label: str, created: datetime, expires: datetime | None
) -> tuple[Key, str]:
    """A key and its token, which is nowhere else. Raises ValueError as `Key` does."""
    key_id = secrets.token_hex(6)
    token = f"pourwright_{key_id}_{secrets.token_urlsafe(32)}"
    key = Key(
        id=key_id,
        caller=caller,
        scopes=frozenset(scopes),
        label=label,
        digest=digest_of(token),
        created=created,
        expires=expires,
    )
    return key, token


def digest_of(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def id_in(token: str) -> str | None:
    """The id of the key that this token would be of; None for what has not the form of one."""
    found = _TOKEN.fullmatch(token)
    return found["id"] if found else None


def opens(token: str, key: Key) -> bool:
    """Whether it is this key's token, compared in a time that tells nothing of where they differ."""
    return hmac.compare_digest(digest_of(token), key.digest)
