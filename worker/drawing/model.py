"""A style as drawings ask it: which strands it has with these parameters, or that it cannot be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from worker.drawing.planes import VIEWS, Box, View
from worker.drawing.silhouette import Outlined, outlined
from worker.drawing.within import within
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.styles.style import Style


@dataclass(frozen=True)
class Shape:
    """The strands of a bait, and those that are taken out of it; `flared`: drawn with the rounds at their roots."""

    strands: tuple[Strand, ...]
    hollows: tuple[Strand, ...] = ()
    flared: bool = False

    def seen(self, view: View, sag: float, window: Box | None = None) -> list[Outlined]:
        """The outlined strands in the order in which they are laid over each other, the furthest from the eye first.

        What grows out of another strand is laid under it, so that its root is hidden, unless most of it stands above.
        """
        found = _outlined(self.strands, view, sag, window, flared=self.flared)
        depth = {each.name: each.depth for each in found}
        top = {each.name: each.depth + each.thick for each in found}
        order = dict(depth)
        for strand in self.strands:  # parents come before what grows out of them
            parent = strand.root and strand.root.parent
            if parent in order and strand.name in order and depth[strand.name] < top[parent]:
                order[strand.name] = min(depth[strand.name], order[parent] - 1e-3)
        return sorted(found, key=lambda each: round(order[each.name], 4))

    def seen_hollows(self, view: View, sag: float) -> list[Outlined]:
        """The same of what is taken out, with what of it reaches beyond the bait."""
        return _outlined(self.hollows, view, sag, None)

    def hollow_edges(self, view: View, sag: float, window: Box | None = None) -> list[tuple[list[Array], list[Array]]]:
        """Of each that is taken out, the edge as far as it lies in the bait: closed loops and open lines."""
        bait = [loop for each in _outlined(self.strands, view, sag, window) for loop in each.loops]
        found = []
        for each in _outlined(self.hollows, view, sag, window):
            traced = [(loop, within(loop, bait)) for loop in each.loops]
            closed = [loop for loop, lines in traced if lines is None]
            found.append((closed, [line for _, lines in traced for line in lines or ()]))
        return [each for each in found if any(each)]

    def box(self, view: View, sag: float) -> Box:
        """The box around the bait in a view, mm."""
        boxes = [each.box for each in _outlined(self.strands, view, sag, None)]
        return min(b[0] for b in boxes), max(b[1] for b in boxes), min(b[2] for b in boxes), max(b[3] for b in boxes)

    @property
    def blends(self) -> tuple[float, ...]:
        """Radius of the round at each root, mm."""
        return tuple(strand.root.blend for strand in self.strands if strand.root is not None)

    @property
    def length(self) -> float:
        """Overall, mm, near enough to draw by."""
        left, right, _, _ = self.box(VIEWS[0], 0.05)
        return right - left


def _outlined(
    strands: tuple[Strand, ...], view: View, sag: float, window: Box | None, *, flared: bool = False
) -> list[Outlined]:
    found = (outlined(strand, view, sag, window, flared=flared) for strand in strands)
    return [each for each in found if each is not None]


@dataclass
class Model:
    """A style that is asked for many shapes, each of which is made once."""

    style: Style
    _made: dict[str, Shape | None] = field(default_factory=dict)

    def shape(self, params: Mapping[str, Any]) -> Shape | None:
        """The bait with these parameters in normal form; None where they cannot stand together."""
        key = repr(sorted(params.items()))
        if key not in self._made:
            self._made[key] = self._make(params)
        return self._made[key]

    def _make(self, params: Mapping[str, Any]) -> Shape | None:
        if any(True for _ in self.style.infeasible(params)):
            return None
        return Shape(self.style.strands(params), self.style.hollows(params))
