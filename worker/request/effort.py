"""How long a build takes, told by arithmetic before any of it is done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from worker.request.picture import pictured

MOST_SECONDS = 30.0
"""Seconds of a processor that a build may be expected to take: a job's limit as it is by default. What is told here was
measured on a busy machine; where nobody else works, two thirds of it pass (judgement), and the rest is for what no
arithmetic tells, a search for the shape that would hold where a cut finds none that does."""
MESH = 100_000
"""Triangles."""


@dataclass(frozen=True, slots=True)
class Work:
    """Seconds of one processor that a part of a build takes: once, and for each `MESH` of triangles besides."""

    once: float
    by_mesh: float

    def seconds(self, triangles: int) -> float:
        """For so many of them."""
        return self.once + self.by_mesh * triangles / MESH


# Measured on two cores of an Intel Xeon with others at work, each step by its own processor time: a craw of 140 mm,
# its body 28 mm wide, at 64,000 to 282,000 triangles, a shrimp at 57,000, worms of beads at 12,000 and 254,000. What is
# told comes within a fifth of what the heavy ones took, all outputs or eight cavities and all.
SOLID = Work(0.5, 1.2)
CUT, CUT_OF_A_LIMB = Work(0.5, 0.7), 0.22
"""Least cuts through the solid, of which every limb asks for some of its own."""
OUTPUT: Mapping[str, Work] = {
    "stl": Work(0.0, 0.03),
    "3mf": Work(0.0, 0.15),
    "glb": Work(0.1, 1.6),
    "thumbnail": Work(0.1, 0.15),
    "turntable": Work(0.3, 1.1),
    "views": Work(1.2, 0.55),
    "plots": Work(0.1, 0.0),
    "master": Work(0.1, 0.2),
    "sheet": Work(1.0, 0.0),
}
MOULD: Mapping[bool, tuple[float, Work]] = {False: (0.6, Work(0.2, 0.8)), True: (3.0, Work(1.5, 1.6))}
"""Seconds of a mould, and of each of its cavities, of a bait without limbs and of one with: there the parting follows
them up and down."""
PICTURE, TURN = 0.4, 0.55
"""Seconds for a million pixels of thumbnails, and of a turntable's frames."""
THUMBNAIL = (800, 600)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a request asks of a build, whatever the bait."""

    outputs: Sequence[str]
    cut: bool
    pixels: float
    """Seconds that its pictures' pixels take."""
    cavities: int

    def seconds(self, triangles: int, limbs: int, cut_triangles: int) -> float:
        """Of a bait of so many triangles, cut in a mesh of `cut_triangles`: a preview's is that of the full bait."""
        spent = SOLID.seconds(triangles) + self.pixels
        spent += sum(OUTPUT[output].seconds(triangles) for output in self.outputs if output in OUTPUT)
        if "mould" in self.outputs:
            once, cavity = MOULD[limbs > 0]
            spent += once + self.cavities * cavity.seconds(triangles)
        if self.cut:
            spent += CUT.seconds(cut_triangles) + CUT_OF_A_LIMB * limbs
            if cut_triangles != triangles:
                spent += SOLID.seconds(cut_triangles)
        return spent


def asked(normal: Mapping[str, Any], *, cut: bool = True) -> Asked:
    """What a request in normal form asks for; `cut`: with the cuts that it may ask for."""
    shown, outputs = pictured(normal), tuple(normal["outputs"])
    pixels = 0.0
    if "thumbnail" in outputs:
        pixels += PICTURE * sum(width * height for width, height in (THUMBNAIL, *shown.sizes)) / 1e6
    if "turntable" in outputs:
        pixels += TURN * shown.turn_frames * shown.turn_size[0] * shown.turn_size[1] / 1e6
    views = normal["checks"].get("joint_pull", {}).get("view")
    return Asked(outputs, cut and views == "cut", pixels, int(normal.get("mould", {}).get("cavities", 1)))
