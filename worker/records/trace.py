"""Trace context (W3C, level 1): `traceparent` read, made anew, and handed on with another step's number."""

from __future__ import annotations

import re
import secrets

_FORM = re.compile(r"([0-9a-f]{2})-([0-9a-f]{32})-([0-9a-f]{16})-([0-9a-f]{2})(-.*)?", re.ASCII)


def read_traceparent(text: str | None) -> str | None:
    """A caller's `traceparent`; None where there is none or it is not what the recommendation says."""
    found = _FORM.fullmatch((text or "").strip())
    if found is None:
        return None
    version, trace, parent, flags, rest = found.groups()
    if version == "ff" or (version == "00" and rest) or not int(trace, 16) or not int(parent, 16):
        return None
    return f"00-{trace}-{parent}-{int(flags, 16) & 1:02x}"  # of a later version what we know of it


def next_traceparent(before: str | None) -> str:
    """Ours: the same trace with a new number for this step, or a new trace that nobody records."""
    if before is None:
        return f"00-{_number(16)}-{_number(8)}-00"
    return f"{before[:36]}{_number(8)}{before[52:]}"


def trace_id(traceparent: str) -> str:
    """The trace's own number, by which logs of all hosts are found."""
    return traceparent[3:35]


def _number(octets: int) -> str:
    return f"{secrets.randbits(8 * octets) or 1:0{2 * octets}x}"
