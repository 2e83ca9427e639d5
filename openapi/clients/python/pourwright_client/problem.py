"""A problem document (RFC 9457) as the service sends it: what was wrong, each fault by its pointer."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

KINDS = "urn:pourwright:problem:"


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a request. `pointer` is an RFC 6901 pointer into it; `allowed` says what may stand there."""

    pointer: str
    code: str
    detail: str
    allowed: Any = None

    def __str__(self) -> str:
        return f"{self.pointer or '(the whole)'}: {self.detail}"


@dataclass(frozen=True, slots=True)
class Problem:
    """`kind` is the last part of `type`, for programs: `invalid-request`, `infeasible`, `busy`, ..."""

    type: str
    title: str
    detail: str
    status: int | None = None
    instance: str | None = None
    errors: tuple[Fault, ...] = ()
    raw: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)

    @property
    def kind(self) -> str:
        return self.type.removeprefix(KINDS)

    def at(self, pointer: str) -> tuple[Fault, ...]:
        """The faults at this place of the request, or below it."""
        return tuple(
            fault for fault in self.errors if fault.pointer == pointer or fault.pointer.startswith(f"{pointer}/")
        )

    def __str__(self) -> str:
        return "\n".join([self.detail or self.title, *(f"  {fault}" for fault in self.errors)])

    @classmethod
    def read(cls, told: Mapping[str, Any]) -> Problem:
        """From an answer's JSON. Whatever is missing is left empty: a proxy's problem has less in it."""
        return cls(
            str(told.get("type") or "about:blank"),
            str(told.get("title") or ""),
            str(told.get("detail") or ""),
            told.get("status"),
            told.get("instance"),
            tuple(_faults(told.get("errors"))),
            told,
        )

    @classmethod
    def of_answer(cls, status: int, content: bytes) -> Problem:
        """From whatever came with that status: a problem document, or what a proxy puts in its place."""
        try:
            told = json.loads(content)
        except ValueError:
            told = None
        if isinstance(told, Mapping):
            return cls.read({"status": status, **told})
        begins = content[:200].decode(errors="replace").strip()
        return cls("about:blank", f"Answer {status}", f"Answer {status}, and no problem document: {begins!r}", status)


def _faults(told: Any) -> list[Fault]:
    if not isinstance(told, list):
        return []
    return [
        Fault(str(one.get("pointer", "")), str(one.get("code", "")), str(one.get("detail", "")), one.get("allowed"))
        for one in told
        if isinstance(one, Mapping)
    ]
