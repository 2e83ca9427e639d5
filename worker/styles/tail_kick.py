"""The kick tail: a paddle that stands across the way of the bait, on a thin wrist that lets it swim."""

from __future__ import annotations

from worker.strands.girth import Girth
from worker.strands.plain import Plain
from worker.strands.strand import Strand, StrandKind
from worker.styles.placing import Place
from worker.styles.tail_blades import straight_path

FACE = 0.7
"""Width of a paddle's flat face over its greatest; its edge is round between (judgement)."""
FLARE = 1.6
"""Thickness of the stem where it meets the paddle, over its wrist's (judgement)."""
WRIST_AT = 0.45
"""Where the wrist is, over the stem's length (judgement)."""
ROOT = 1.25
"""Thickness of the stem at its root over its wrist's (judgement)."""
LOWER = 0.7
"""How far the middle of a paddle hangs below its stem, over half the stem's height there (judgement)."""


def paddle(
    name: str, place: Place, width: float, height: float, thickness: float, angle: float, kind: StrandKind = "tail"
) -> Strand:
    """A round disc across the way ahead, its front face at the place; mm.

    `angle` is between the paddle and the bait, in degrees: square is 90, above it the lower edge trails, below it
    leads. The disc's path runs through its thickness, so that its sections are its outline: square is never folded.
    """
    path = straight_path(place.tilted(angle - 90.0), 0.0, thickness)
    girth = Girth.oval(
        (0.0, FACE * width, FACE * height),
        (0.3, width, height),
        (0.7, width, height),
        (1.0, FACE * width, FACE * height),
    )
    return Strand(name, kind, path, girth, Plain((0.0, 0.0)))


def stem(
    name: str, place: Place, depth: float, length: float, wrist: tuple[float, float], kind: StrandKind = "tail"
) -> Strand:
    """What a paddle stands on: `length` mm long, narrowest at its wrist (width and height, mm), wider at both ends."""
    whole, (width, height) = depth + length, wrist
    stations = [(0.0, ROOT), (depth / whole, ROOT), ((depth + WRIST_AT * length) / whole, 1.0), (1.0, FLARE)]
    girth = Girth.oval(*((at, share * width, share * height) for at, share in stations))
    return Strand(name, kind, straight_path(place, depth, length), girth, Plain((0.0, 0.0)))


def kick(
    name: str,
    place: Place,
    depth: float,
    length: float,
    wrist: tuple[float, float],
    blade: tuple[float, float, float],
    angle: float = 90.0,
) -> tuple[Strand, Strand]:
    """Stem and paddle, `length` mm from the place to the paddle's rear; `blade` is its width, height and thickness."""
    thickness = blade[2]
    stalk = stem(name, place, depth, length - thickness / 2, wrist)
    low = LOWER * FLARE * wrist[1] / 2
    disc = paddle(f"{name} paddle", place.moved(length - thickness, 0.0, -low), *blade, angle)
    return stalk, disc
