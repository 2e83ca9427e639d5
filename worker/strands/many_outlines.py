"""Outlines of many strands at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from worker.strands.outline import Outline, Pieces
from worker.strands.roots import Array


@dataclass(frozen=True)
class ManyOutlines:
    """Outlines whose stations are given end to end: `counts` of them for each, in the outlines' order.

    Heights and rises are those that each outline tells by itself.
    """

    outlines: tuple[Outline, ...]

    def height(self, x: Array, counts: Sequence[int]) -> Array:
        """Half-thickness at each x; 0 outside of every piece of its own outline."""
        piece = self._piece_at(x, counts)
        low, high = self._bounds.take(piece, axis=1)
        return np.where((x >= low) & (x <= high), self._pieces.height(piece, x), 0.0)

    def rise(self, x: Array, counts: Sequence[int]) -> Array:
        """Slope at each x."""
        return self._pieces.rise(self._piece_at(x, counts), x)

    def _piece_at(self, x: Array, counts: Sequence[int]) -> NDArray[np.int64]:
        piece, begin, first = np.empty(len(x), dtype=np.int64), 0, 0
        for outline, count in zip(self.outlines, counts, strict=True):
            piece[begin : begin + count] = outline.piece_at(x[begin : begin + count])
            piece[begin : begin + count] += first
            begin, first = begin + count, first + len(outline.pieces.begin)
        return piece

    @cached_property
    def _pieces(self) -> Pieces:
        every = [outline.pieces for outline in self.outlines]
        return Pieces(*(np.concatenate([getattr(each, name) for each in every]) for name in every[0].fields()))

    @cached_property
    def _bounds(self) -> Array:
        return np.stack([self._pieces.begin - 1e-7, self._pieces.end + 1e-7])
