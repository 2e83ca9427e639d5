"""The remedy of a firmer plastic."""

from __future__ import annotations

from typing import Any

from worker.checks.subject import Subject


def grade_patch(subject: Subject, grade: str) -> dict[str, Any]:
    """The patch that pours the bait in a built-in grade with nothing added, whatever plastic it is asked for in."""
    asked = subject.request.normal["plastic"]
    own = {name: None for name in ("name", "properties") if name in asked}
    blended = {name: 0.0 for name in ("softener_pct", "hardener_pct") if asked[name]}
    return {"plastic": {"grade": grade, "salt_wt_pct": 0.0, **blended, **own}}
