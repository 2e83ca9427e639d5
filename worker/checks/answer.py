"""The answer to one check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from worker.values.parameter import six_digits

Verdict = Literal["pass", "caution", "fail"]


@dataclass(frozen=True)
class Remedy:
    """A change that makes the check pass: words, an RFC 7396 merge patch on the request, and what it then gives."""

    text: str
    patch: Mapping[str, Any]
    gives: float


@dataclass(frozen=True)
class Answer:
    """Verdict with the numbers behind it. `where` says at which place of the bait, `text` says it all in a sentence."""

    check: str
    verdict: Verdict
    value: float
    limit: float
    unit: str
    text: str
    where: Mapping[str, Any] | None = None
    remedies: tuple[Remedy, ...] = field(default=())
    silenced: bool = False

    def describe(self) -> dict[str, Any]:
        """JSON-ready, figures at 6 digits."""
        return {
            "check": self.check,
            "verdict": self.verdict,
            "value": six_digits(self.value),
            "limit": six_digits(self.limit),
            "unit": self.unit,
            "where": self.where,
            "text": self.text,
            "remedies": [
                {"text": remedy.text, "patch": dict(remedy.patch), "gives": six_digits(remedy.gives)}
                for remedy in self.remedies
            ],
            "silenced": self.silenced,
        }


def graded(value: float, limit: float, caution_from: float) -> Verdict:
    """pass from `limit` up, caution from `caution_from`, fail below; a hair's breadth counts as reached."""
    if value >= limit * (1 - 1e-9):
        return "pass"
    return "caution" if value >= caution_from * (1 - 1e-9) else "fail"
