"""The `Prefer` header (RFC 7240): how long a client is willing to wait for an answer."""

from __future__ import annotations

import re
from dataclasses import dataclass

LONGEST_WAIT_S = 25  # under the half minute after which proxies commonly give up

# preference = token [ BWS "=" BWS ( token / quoted-string ) ] *( OWS ";" [ parameter ] )
_TOKEN = r"[!#$%&'*+.^_`|~0-9A-Za-z-]+"
_QUOTED = r'"(?:[^"\\]|\\.)*"'
_ITEM = re.compile(rf'(?:[^,"]|{_QUOTED})+')
_PREFERENCE = re.compile(rf"\s*(?P<name>{_TOKEN})(?:\s*=\s*(?P<value>{_TOKEN}|{_QUOTED}))?\s*(?:;.*)?", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Preference:
    """What was asked for and understood. `wait_s` is None where no wait was asked for."""

    wait_s: int | None = None
    respond_async: bool = False


def seconds(text: str) -> int | None:
    """Whole seconds out of digits, at most LONGEST_WAIT_S; None where the text is anything else."""
    if not (text.isascii() and text.isdigit()):
        return None
    digits = text.lstrip("0")
    return LONGEST_WAIT_S if len(digits) > 3 else min(LONGEST_WAIT_S, int(digits or "0"))


def read_preference(header: str) -> Preference:
    """Read the (joined) header. What cannot be read is ignored; of one named twice the first counts."""
    named: dict[str, str] = {}
    for item in _ITEM.findall(header):
        found = _PREFERENCE.fullmatch(item)
        if found:
            value = found["value"] or ""
            if value.startswith('"'):
                value = re.sub(r"\\(.)", r"\1", value[1:-1])
            named.setdefault(found["name"].lower(), value)
    return Preference(seconds(named.get("wait", "")), "respond-async" in named)
