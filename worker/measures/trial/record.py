"""What was measured of a plastic before: the pieces of every call are kept, by the figure that they tell, and pooled.

Every piece counts alike, so a call with more of them counts more. A figure's range is then that of all its pours, which
is what the next bait is drawn from: pieces of one pour differ less than pours do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from worker.measures.trial.pieces import Piece

MOST_KEPT = 120
"""Pieces of a figure; beyond them the oldest calls are let go."""


@dataclass(frozen=True)
class Call:
    """The pieces of one figure that came together, and their caller's words about them."""

    source: str
    pieces: tuple[Piece, ...]

    def kept(self) -> dict[str, Any]:
        """JSON-ready."""
        return {"source": self.source, "pieces": [dict(piece) for piece in self.pieces]}


Record = Mapping[str, Sequence[Call]]
"""Of each figure its calls, the newest first."""


def read_record(kept: Mapping[str, Sequence[Mapping[str, Any]]]) -> Record:
    """The record that `Call.kept` has written."""
    return {
        figure: tuple(Call(str(call["source"]), tuple(call["pieces"])) for call in calls)
        for figure, calls in kept.items()
    }


def added(calls: Sequence[Call], new: Call) -> tuple[Call, ...]:
    """`new` before those there were. The same call sent again counts once: an answer may have been lost on its way."""
    pooled, count = [new], len(new.pieces)
    for call in calls:
        if call == new:
            continue
        count += len(call.pieces)
        if count > MOST_KEPT:
            break
        pooled.append(call)
    return tuple(pooled)


def pieces_of(calls: Sequence[Call]) -> tuple[Piece, ...]:
    """All pieces, the newest call's first."""
    return tuple(chain.from_iterable(call.pieces for call in calls))
