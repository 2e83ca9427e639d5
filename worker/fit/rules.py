"""The rules that turn a maker's terms into a fit: one table, every line judgement; edit it here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def document_of(maker: Mapping[str, Any], style: str | None) -> dict[str, Any]:
    """The fit's request that the rules make of maker's terms in normal form, for `style` or for the one they choose."""
    return {"style": style or "beaded_worm"}


def told_rules(normal: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The rules that were used on a fit in normal form, in words, with what each of them gave."""
    return []
