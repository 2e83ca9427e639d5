"""Checks that a build alone can answer: what an estimate is held to is the rest."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

OF_A_BUILD = ("through_hole",)


def of_both(checks: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The answers of a build that its estimate gives too; those of the build alone are there once each."""
    own = [each for each in checks if each["check"] in OF_A_BUILD]
    assert [each["check"] for each in own] == list(OF_A_BUILD)
    return [each for each in checks if each not in own]
