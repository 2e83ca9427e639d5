"""The strand: the one solid that everything is made of, a section carried along a path."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, Literal, Protocol

from worker.strands.body import Body
from worker.strands.girth import Girth
from worker.strands.outline import Outline, Outlines
from worker.strands.path import HandedPath, Path
from worker.strands.plain import Plain
from worker.strands.section import ELLIPSE, Section
from worker.strands.zones import Zone, applied

TrunkKind = Literal["trunk", "core"]
LimbKind = Literal[
    "claw", "leg", "feeler", "fan", "tail", "flapper", "wing", "curl", "paddle", "tentacle", "fin", "horn", "eye"
]
HollowKind = Literal["slot", "bore", "pocket", "socket", "inside", "cut"]
StrandKind = TrunkKind | LimbKind | HollowKind
"""What a strand is; a hollow is a strand that is taken out."""
Cover = Literal["all", "back", "belly", "sides"]
"""Which of a strand's outlines carry its relief."""


class Relief(Protocol):
    """What is modelled into a strand's surface along its length; `plain.Plain` where there is nothing."""

    def outlines(self, girth: Girth, length: float) -> Outlines:
        """The three outlines of the strand; equal ones are one object."""
        ...

    def smooth_outlines(self, girth: Girth, length: float) -> Outlines:
        """The same strand without its relief."""
        ...

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """Begins a sentence about a joint: "14 beads of 8.5 mm meet in a neck of 2.5 mm"; lengths in mm."""
        ...

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ...


@dataclass(frozen=True)
class Root:
    """Where a strand grows out of its parent, and the ball of `blend` mm that rolls around it there (flare.py); mm.

    `station` lies on the parent's path, `leaves` on the strand's own. `drops` tells how far the parent's surface has
    fallen away `reach` mm to the left, right, back and belly. `on` is the parent itself.
    """

    parent: str
    station: float
    leaves: float
    blend: float
    reach: tuple[float, float, float, float]
    drops: tuple[float, float, float, float]
    on: Strand = field(repr=False, compare=False)


@dataclass(frozen=True)
class Strand:
    """A section carried along a path from its root to its tip. `root` is None where it grows out of no other."""

    name: str
    kind: StrandKind
    path: Path
    girth: Girth
    relief: Relief
    root: Root | None = None
    section: Section = ELLIPSE
    cover: Cover = "all"
    zones: tuple[Zone, ...] = ()

    @cached_property
    def body(self) -> Body:
        """Its sections as exact outlines, without the flare at the root. Raises closing.HumpsHidden."""
        outlines = self._zoned(self.relief.outlines(self.girth, self.path.length))
        if self.cover == "all":
            return Body(*outlines, self.section)
        smooth = self.smooth
        side, back, belly = smooth.side, smooth.back, smooth.lower
        match self.cover:
            case "back":
                back = outlines.back
            case "belly":
                belly = outlines.belly
            case _:
                side = outlines.side
        return Body(side, back, belly, self.section)

    @cached_property
    def smooth(self) -> Body:
        """The same strand without its relief."""
        if isinstance(self.relief, Plain):
            return self.body
        return Body(*self._zoned(self.relief.smooth_outlines(self.girth, self.path.length)), self.section)

    def _zoned(self, outlines: Outlines) -> Outlines:
        if not self.zones:
            return outlines
        length, girth = self.path.length, self.girth
        tops = (girth.half_widths(length), girth.backs(length), girth.bellies(length))
        done: dict[int, Outline] = {}
        for outline, top in zip(outlines, tops, strict=True):
            # One outline stands for several views only where their girths are equal too.
            if id(outline) not in done:
                done[id(outline)] = applied(outline, top, length, self.zones)
        return Outlines(*(done[id(outline)] for outline in outlines))

    @property
    def limb(self) -> bool:
        """Whether it grows out of another strand; the others are the trunk."""
        return self.root is not None

    def handed(self, name: str, parent: str | None = None) -> Strand:
        """The same strand on the other side of the bait, grown out of `parent` there. What is worked out is shared."""
        root = self.root
        if root is not None:
            parent = parent or root.parent
            (a, b, *reach), (c, d, *drops) = root.reach, root.drops  # what lay to the left lies to the right
            turned: Any = {"reach": (b, a, *reach), "drops": (d, c, *drops)}
            root = replace(root, parent=parent, on=root.on.handed(parent), **turned)
        other = replace(self, name=name, path=HandedPath(self.path), root=root)
        for shared in ("body", "smooth"):
            other.__dict__[shared] = getattr(self, shared)
        return other

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "name": self.name,
            "kind": self.kind,
            "path": self.path.describe(),
            "girth": self.girth.describe(),
            "relief": self.relief.describe(),
            "section": self.section.described,
            "cover": self.cover,
            "zones": [zone.describe() for zone in self.zones],
            "root": None if self.root is None else _told(self.root),
        }


def root_of(limb: Strand) -> Root:
    """The root that a limb has."""
    if limb.root is None:
        raise TypeError(f"{limb.name} has no root")
    return limb.root


def _told(root: Root) -> dict[str, Any]:
    return {"parent": root.parent, "station": root.station, "blend": root.blend}
