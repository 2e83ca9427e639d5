"""The `Idempotency-Key` header, and which bait a key was first used for.

A bait's id is the digest of its request, so repeating a POST is harmless without any key. What the key adds
is the caller's own check: the same key with another request is a mistake on his side, and is told so.
"""

from __future__ import annotations

import re

from service.errors import IdempotencyKeyReused, MalformedHeader

KEPT_S = 24 * 3600

# A string of RFC 8941 (printable ASCII in double quotes), as the draft asks; bare tokens, which many
# clients send, too.
_QUOTED, _BARE = r'(?:[ !#-\[\]-~]|\\["\\]){1,255}', r"[!#$%&'*+.^_`|~0-9A-Za-z:/=-]{1,255}"
_KEY = re.compile(f'"({_QUOTED})"|({_BARE})')
KEY_FORM = f'"{_QUOTED}"|{_BARE}'
"""The same for the document."""


def read_key(header: str | None) -> str | None:
    """The key in the header; None where there is no header. Raises MalformedHeader."""
    if header is None:
        return None
    found = _KEY.fullmatch(header.strip())
    if found is None:
        raise MalformedHeader("Idempotency-Key is a string in double quotes, of 1 to 255 printable characters.")
    quoted, bare = found.groups()
    return bare if quoted is None else re.sub(r"\\(.)", r"\1", quoted)


def require_same(first: str, now: str) -> None:
    """Raise IdempotencyKeyReused where the key was first used for another bait."""
    if first != now:
        raise IdempotencyKeyReused(
            "This Idempotency-Key came with another request before; send a new key with a new request."
        )
