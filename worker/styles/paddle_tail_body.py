"""The three strands of a paddle tail: the body, the stem with its wrist, and the paddle; mm.

The body falls into the stem at a small angle, so that the two read as one line. The stem is bent until it meets the
paddle squarely.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from worker.measures.strand.extent import furthest
from worker.strands.girth import Girth, GirthStation
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Point, StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.slab import Slab
from worker.strands.strand import Strand
from worker.strands.streamlined import Streamlined
from worker.styles.directions import beyond, towards
from worker.styles.style import Params
from worker.styles.worm_parameters import number

BACK = 0.47
"""Share of the body's height that lies above its path: the belly is the fuller side, up to the stem (judgement)."""
HEAD = 0.15
"""Share of the way to the peak that is the head; from there on the girth follows the head's ellipse."""
NOSE: tuple[tuple[float, float], ...] = ((0.0, 0.28), (HEAD, 0.527), (0.35, 0.760), (0.6, 0.917), (1.0, 1.0))
"""Shares of the way from the nose to the peak, and of the size there: sqrt(1 - (1 - u)^2), but for the nose itself,
which is what another head than the round one is made on (judgement)."""
WAIST = (0.5, 0.58, 0.60)
"""Half-way from the peak to the stem: width and height as shares of the way to the peak's (judgement)."""
STEM, FLARE = 1.7, 1.4
"""Thickness of the stem where it leaves the body and where it meets the paddle, over its wrist's (judgement)."""
INNER = 0.2
"""How much thicker the stem begins inside of the body, over its wrist's thickness: it narrows evenly (judgement)."""
SINKS, SUNK = 2.4, 0.4
"""How far ahead of the wrist the body sinks into the stem, and where it ends in it, over the wrist's height."""
SUNK_SIZE = 0.55
"""Thickness of the body where it ends in the stem over where it sinks in (judgement)."""
HANGS = 0.62
"""Share of a paddle's height below the stem's middle (judgement)."""
RIM = 0.45
"""Radius of the round of a paddle's rim over its thickness (judgement)."""


@dataclass(frozen=True)
class PaddleTail:
    """Places and girths from the parameters."""

    params: Params

    def _of(self, name: str) -> float:
        return number(self.params, name)

    @property
    def length(self) -> float:
        """Overall."""
        return self._of("length")

    @property
    def size(self) -> tuple[float, float]:
        """Greatest width and height of the body."""
        return self._of("width_share") * self.length, self._of("height_share") * self.length

    @property
    def wrist(self) -> tuple[float, float]:
        """Width and height of the wrist."""
        return self._of("wrist_width_share") * self.length, self._of("wrist_height_share") * self.length

    @property
    def paddle_size(self) -> tuple[float, float]:
        """Width and height of the paddle."""
        return self._of("paddle_width_share") * self.length, self._of("paddle_height_share") * self.length

    @property
    def peak(self) -> float:
        """Where the body is highest, from the nose."""
        return self._of("peak_at") * self.length

    @property
    def wrist_x(self) -> float:
        """Where the wrist is."""
        return self._of("wrist_at") * self.length

    @property
    def sinks(self) -> float:
        """Where the body sinks into the stem."""
        return self.wrist_x - SINKS * self.wrist[1]

    @property
    def section(self) -> Section:
        """Of body and stem."""
        return Section(self._of("squareness"), self._of("squareness"))

    @cached_property
    def body(self) -> Strand:
        """From the nose to where it ends inside of the stem."""
        width, height = self.size
        end, sinks = self.wrist_x - SUNK * self.wrist[1], self.sinks
        sizes = [(at * self.peak, share * width, share * height) for at, share in NOSE]
        stem_width, stem_height = (STEM * each for each in self.wrist)
        at, wide, high = WAIST
        sizes.append(
            (
                self.peak + at * (sinks - self.peak),
                stem_width + wide * (width - stem_width),
                stem_height + high * (height - stem_height),
            )
        )
        sizes += [(sinks, stem_width, stem_height), (end, SUNK_SIZE * stem_width, SUNK_SIZE * stem_height)]
        backs = (*[BACK] * len(NOSE), (BACK + 0.5) / 2, 0.5, 0.5)
        stations = tuple(_station(x / end, w, h, back) for (x, w, h), back in zip(sizes, backs, strict=True))
        relief = Streamlined(self.peak, HEAD * self.peak, 0.5 * SUNK_SIZE * stem_height)
        return Strand("trunk", "trunk", StraightPath(end), Girth(stations), relief, section=self.section)

    @cached_property
    def _ahead(self) -> Point:
        """The way through the paddle's thickness."""
        return towards(0.0, self._of("paddle_angle") - 90.0)

    def _paddle_at(self, point: Point) -> Strand:
        """The paddle whose front face meets the stem's middle there."""
        (width, height), thickness = self.paddle_size, self._of("paddle_thickness")
        girth = Girth(tuple(_station(at, width, height, 1 - HANGS) for at in (0.0, 1.0)))
        path = StraightPath(thickness, point, self._ahead)
        return Strand("paddle", "paddle", path, girth, Slab(RIM * thickness))

    @cached_property
    def reach(self) -> float:
        """How far the paddle ends behind where its face meets the stem."""
        return furthest([self._paddle_at((0.0, 0.0, 0.0))], 0, 1.0)

    @property
    def face(self) -> Point:
        """Where the stem's middle meets the paddle's face: the bait ends at its overall length."""
        return self.length - self.reach, 0.0, 0.0

    @cached_property
    def paddle(self) -> Strand:
        """The paddle in its place."""
        return self._paddle_at(self.face)

    @cached_property
    def stem(self) -> Strand:
        """From inside of the body over the wrist to the middle of the paddle's thickness."""
        width, height = self.wrist
        begin, level = self.sinks - height, (1.0, 0.0, 0.0)
        end = beyond(self.face, self._ahead, 0.5 * self._of("paddle_thickness"))
        before, behind = self.wrist_x - begin, end[0] - self.wrist_x
        knots = (
            Knot((begin, 0.0, 0.0), level, 0.0, before),
            Knot((self.wrist_x, 0.0, 0.0), level, before, behind),
            Knot(end, self._ahead, behind, 0.0),
        )
        path = HermitePath(knots)
        along = path.length
        shares = ((0.0, STEM + INNER), (height / along, STEM), (before / along, 1.0), (1.0, FLARE))
        girth = Girth.oval(*((at, share * width, share * height) for at, share in shares))
        return Strand("tail", "tail", path, girth, Plain((0.0, 0.0)), section=self.section)


def _station(at: float, width: float, height: float, back: float) -> GirthStation:
    return GirthStation(at, width, back * height, (1 - back) * height)
