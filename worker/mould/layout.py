"""Where the cavities lie, and the channels that fill them: sprue, runners, gates.

Cavities lie in two rows, their gates towards a runner between them, the spine along y = 0. The sprue comes down through
the upper half onto its middle. All of it is in mm, z = 0 the parting plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.mould.frame import cosine_sine
from worker.mould.thickness import LEAST_GATE, LEAST_SHARE, MOST_GATE, Feed
from worker.solid.shapes import Mesh, Place, along, round_section, slot_section, turned
from worker.strands.roots import Array

GATE_LENGTH = 3.0
"""Way through a gate, mm: short, so that it stays hot while the bait shrinks (judgement)."""
GATE_LEAN = 0.18
"""How far a gate's sides lean in on their way up: 10 degrees."""
RUNNER_SHARE = 0.7
"""Thickness of a runner over that of what it feeds, so that it freezes after the gate (judgement)."""
APART = 6.0
"""Least mould between two cavities, mm: common practice, no source."""

BETWEEN_FACES = 1.0
"""Flat face at least between two cavities' faces that are not, and beside them, mm."""


@dataclass(frozen=True)
class Placed:
    """One cavity: turned by quarters counter-clockwise, then moved; `gate` is the place of its outline that is fed."""

    quarter: int
    dx: float
    dy: float
    gate: Place
    into: Place

    def points(self, points: Array) -> Array:
        """Places in the mould, (n, 2 or 3), of places in the cavity's own frame."""
        cosine, sine = cosine_sine(90 * self.quarter)
        x, y = points[:, 0], points[:, 1]
        moved = [cosine * x - sine * y + self.dx, sine * x + cosine * y + self.dy]
        return np.column_stack([*moved, *points[:, 2:].T])


@dataclass(frozen=True)
class Gate:
    """Sizes of a gate: `depth` across the parting plane, `width` along it; `of_thickness` and `of_area` what share of
    the place that it feeds that is.
    """

    depth: float
    width: float
    of_thickness: float
    of_area: float


def gate_of(feed: Feed, share: float, sprue: float) -> Gate:
    """The gate that has `share` of the thickness and of the area that it feeds, no side under 3 mm.

    It is no wider than the side offers plastic as deep as a gate may be, nor than the `sprue` is thick, mm, unless
    `LEAST_SHARE` of the section asks for that. What it lacks in width it has in depth, up to `MOST_GATE` of the
    thickness: a thick gate stays hot longer than a wide one.
    """
    asks = LEAST_SHARE * feed.area / max(MOST_GATE * feed.thickness, LEAST_GATE)
    most = max(min(feed.along, max(sprue, asks)), LEAST_GATE)
    needed = share * feed.area / most
    depth = max(min(max(needed, share * feed.thickness), MOST_GATE * feed.thickness), LEAST_GATE)
    mean = min(share * feed.area / depth, most)
    width = max(mean + GATE_LEAN * depth / 2, LEAST_GATE)
    area = depth * (width - GATE_LEAN * depth / 2)
    return Gate(depth, width, depth / feed.thickness, area / feed.area)


def rows_of(
    outline: Array, feed: Feed, cavities: int, off: float, wall: float, room: Array | None = None
) -> list[Placed]:
    """The cavities in their rows. `outline`, (n, 2): places, the outermost among them, of one in its own frame; `off`:
    how far those stay from the spine, `wall`: from the next cavity's at least, mm. `room`, (2, 2): from where to where
    the parting face is not flat; it stays off the spine by `off` too.
    """
    turned = Placed(feed.quarter, 0.0, 0.0, (0, 0), (0, 0))
    turned_plan = turned.points(outline)
    low, high = turned_plan.min(axis=0), turned_plan.max(axis=0)
    pitch = float(np.ceil(high[0] - low[0] + max(APART, wall)))
    if room is not None:
        corners = turned.points(room)
        high = np.maximum(high, corners.max(axis=0))
        pitch = max(pitch, float(np.ceil(np.ptp(corners[:, 0]) + BETWEEN_FACES)))
    # The far row is turned half round: its cavities reach as far ahead of their gates as the near ones behind theirs.
    placed = []
    for number in range(cavities):
        far = number % 2 == 1
        x = pitch * (number // 2)
        sign, quarter = (-1.0, feed.quarter + 2) if far else (1.0, feed.quarter)
        dx, dy = x - sign * feed.x, -sign * (off + float(high[1]))
        gate, into = (x, sign * feed.edge + dy), (x, sign * feed.into + dy)
        placed.append(Placed(quarter % 4, dx, dy, gate, into))
    return placed


@dataclass(frozen=True)
class Channels:
    """What the plastic comes through. `runners`: begin and end of each; the first is the spine, if there is one."""

    runners: list[tuple[Place, Place]]
    runner_radius: float
    gates: list[tuple[Place, Place]]
    gate: Gate
    sprue_at: Place

    def meshes(self) -> list[Mesh]:
        """Runners, round at their ends, and gates."""
        section, radius = round_section(self.runner_radius), self.runner_radius
        made = [along(begin, end, section) for begin, end in self.runners if begin != end]
        made += [_ball(place, radius) for place in dict.fromkeys(end for way in self.runners for end in way)]
        slot = slot_section(self.gate.width, self.gate.depth, GATE_LEAN * self.gate.depth / 2)
        return made + [along(begin, end, slot) for begin, end in self.gates]

    @property
    def gate_length(self) -> float:
        """mm, from a runner to the cavity's outline."""
        return GATE_LENGTH

    @property
    def runner_length(self) -> float:
        """mm, of all of them."""
        return sum(math.dist(begin, end) for begin, end in self.runners)


def channels_of(placed: list[Placed], gate: Gate, radius: float) -> Channels:
    """Spine, branches and gates to cavities in their rows, with the sprue on the middle of the spine."""
    xs = [each.gate[0] for each in placed]
    spine = ((min(xs), 0.0), (max(xs), 0.0))
    runners = [spine]
    gates = []
    for each in placed:
        x, edge = each.gate
        toward = 1.0 if edge < 0 else -1.0
        begin = edge + toward * GATE_LENGTH
        if abs(begin) < abs(edge) and begin * edge > 0:
            runners.append(((x, 0.0), (x, begin)))
        gates.append(((x, begin), each.into))
    return Channels(runners, radius, gates, gate, ((min(xs) + max(xs)) / 2, 0.0))


def _ball(centre: Place, radius: float) -> Mesh:
    """A runner's end: a ball of the same section, its poles cut off flat."""
    angle = np.pi * np.arange(-5, 6) / 12
    levels = zip((radius * np.sin(angle)).tolist(), (radius * np.cos(angle)).tolist(), strict=True)
    return turned(centre, list(levels))
