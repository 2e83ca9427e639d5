"""What grows out of a bait: where it is rooted, and the round limbs: legs, feelers, horns.

Left ones; the right ones are the same, handed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from worker.strands.attach import attach_all
from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point
from worker.strands.plain import Plain
from worker.strands.strand import Strand, StrandKind
from worker.styles.directions import beyond, curve_of


@dataclass(frozen=True)
class Rooted:
    """Where a limb grows: from `inner`, inside of its parent, `leave`-wards (unit vector), out of it `depth` mm on."""

    inner: Point
    depth: float
    leave: Point

    @property
    def surface(self) -> Point:
        """Where it leaves its parent."""
        return beyond(self.inner, self.leave, self.depth)

    def knots(self, outside: Sequence[Knot]) -> tuple[Knot, ...]:
        """The whole path: straight through the parent, then `outside`, which begins at the surface that way."""
        first, *rest = outside
        return (Knot(self.inner, self.leave, 0.0, self.depth), replace(first, before=self.depth), *rest)


@dataclass(frozen=True)
class Limb:
    """A round limb `length` mm long outside of its parent, from `root` to `tip` mm thick.

    It lies `way`-wards as a whole, its tip pointing `arrive`.
    """

    rooted: Rooted
    way: Point
    arrive: Point
    length: float
    root: float
    tip: float

    def strand(self, name: str, kind: StrandKind) -> Strand:
        """The limb, not yet grown to its parent."""
        leave, depth = self.rooted.leave, self.rooted.depth
        knots = self.rooted.knots(curve_of(self.length, self.rooted.surface, leave, self.way, self.arrive))
        path = HermitePath(knots, (1.0, 0.0, 0.0) if abs(leave[0]) < 0.5 else (0.0, 1.0, 0.0))
        return thinning(name, kind, path, depth, self.root, self.tip)


def thinning(name: str, kind: StrandKind, path: HermitePath, depth: float, root: float, tip: float) -> Strand:
    """A round strand that thins out evenly from where it leaves its parent, `depth` mm on, its tip round."""
    girth = Girth.circular((0.0, root), (depth / path.length, root), (1.0, tip))
    return Strand(name, kind, path, girth, Plain((0.0, tip / 2)))


def both(left: Strand, parent: str) -> tuple[Strand, Strand]:
    """A left strand and its right counterpart, which grows out of `parent`."""
    return left, left.handed(left.name.replace("left", "right"), parent)


def grown(limbs: Iterable[Strand], trunk: Strand, blend: float) -> tuple[Strand, ...]:
    """Limbs rooted in a trunk, left ones with their right counterparts behind them. Raises RootOutside."""
    rooted = attach_all(tuple(limbs), trunk, blend)
    return tuple(s for limb in rooted for s in (both(limb, trunk.name) if limb.name.startswith("left") else (limb,)))
