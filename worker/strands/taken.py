"""What hollows take away, where a style knows it exactly; of all others it is found by asking places."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Taken:
    """The hollows of those names together: volume, mm3, and by how much they let the skin grow, mm2.

    They leave the bait in one piece.
    """

    names: frozenset[str] = frozenset()
    volume: float = 0.0
    skin: float = 0.0
