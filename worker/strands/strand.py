"""The strand: the one solid that everything is made of, a section carried along a path."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, Protocol

from worker.strands.body import Body
from worker.strands.girth import Girth
from worker.strands.outline import Outline
from worker.strands.path import Path

StrandKind = Literal["trunk", "core", "claw", "leg", "feeler", "fan"]


class Relief(Protocol):
    """What is modelled into a strand's surface along its length; `plain.Plain` where there is nothing."""

    def outlines(self, girth: Girth, length: float) -> tuple[Outline, Outline]:
        """The outline seen from the back (half-widths) and from the side (half-heights); one object where round."""
        ...

    def smooth_outlines(self, girth: Girth, length: float) -> tuple[Outline, Outline]:
        """The same strand without its relief."""
        ...

    def joint_in_words(self, girth: float, across: float, *, on_core: bool) -> str:
        """Begins a sentence about a joint: "14 beads of 8.5 mm meet in a neck of 2.5 mm"; lengths in mm."""
        ...

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        ...


@dataclass(frozen=True)
class Strand:
    """A section carried along a path from its root to its tip."""

    name: str
    kind: StrandKind
    path: Path
    girth: Girth
    relief: Relief

    @cached_property
    def body(self) -> Body:
        """Its sections as exact outlines. Raises closing.HumpsHidden."""
        return Body(*self.relief.outlines(self.girth, self.path.length))

    @cached_property
    def smooth(self) -> Body:
        """The same strand without its relief."""
        return Body(*self.relief.smooth_outlines(self.girth, self.path.length))

    def describe(self) -> dict[str, Any]:
        """For an answer."""
        return {
            "name": self.name,
            "kind": self.kind,
            "path": self.path.describe(),
            "girth": self.girth.describe(),
            "relief": self.relief.describe(),
        }
