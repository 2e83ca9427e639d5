"""The remedy of a firmer plastic."""

from __future__ import annotations

from typing import Any

from worker.checks.subject import Subject

ADDED = {"salt_wt_pct": "salt", "softener_pct": "softener", "hardener_pct": "hardener"}
"""What is taken out with the plastic that it is in."""


def grade_patch(subject: Subject, grade: str) -> dict[str, Any]:
    """The patch that pours the bait in a built-in grade with nothing added, whatever plastic it is asked for in."""
    asked = subject.request.normal["plastic"]
    own = {name: None for name in ("name", "properties") if name in asked}
    blended = {name: 0.0 for name in ADDED if asked[name] or name == "salt_wt_pct"}
    return {"plastic": {"grade": grade, **blended, **own}}


def grade_words(subject: Subject, grade: str) -> str:
    """The same in words, as in: firm plastic without salt and softener. Nothing is left out that was not asked for."""
    asked = subject.request.normal["plastic"]
    left = [words for name, words in ADDED.items() if asked[name]]
    listed = " and ".join(part for part in (", ".join(left[:-1]), *left[-1:]) if part)
    return f"{grade} plastic without {listed}" if left else f"{grade} plastic"
