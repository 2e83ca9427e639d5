"""A bait as it lies in its mould: its mesh grown and turned, its columns, where halves lie behind it, how thick."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.errors import GeometryFailed
from worker.mould.columns import Columns, columns_of
from worker.mould.face import Face
from worker.mould.frame import Frame
from worker.mould.parting import COARSE, least_behind, least_between
from worker.mould.slices import Whole
from worker.mould.thickness import Thickness, thickness_of
from worker.mould.turned import Turned
from worker.mould.undercut import Undercut, undercuts
from worker.mould.vents import Tip, ends_of, tips_of
from worker.solid.solid import Solid
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.values.shrinkage import cavity_scale

FINEST, MOST_LINES = 0.12, 250_000
"""Distance of the columns, mm, and how many of them there may be before it grows."""
GAP = 2.5
"""Mould behind plastic that counts for none, over the mesh's tolerance."""


@dataclass(frozen=True)
class Cavity:
    """`bait` (n, 3) and `triangles` (m, 3): the mesh, as it comes out cold, of what the halves leave; `net`: the
    bait itself, with what pins leave hollow; `searched`: whether the plane was; `face`: None where the plane itself is.
    """

    frame: Frame
    searched: bool
    bait: Array
    triangles: Whole
    net: Solid
    strands: tuple[Strand, ...]
    hollows: tuple[Strand, ...]
    gap: float
    face: Face | None = None

    @cached_property
    def vertices(self) -> Array:
        """The mesh in the frame of the mould, before it is placed; (n, 3), mm."""
        return self.frame.to_mould(self.bait)

    @cached_property
    def turned(self) -> Turned:
        """The bait at any turn, in columns fine enough to look for a plane."""
        return Turned(self.bait, self.triangles, COARSE)

    @cached_property
    def columns(self) -> Columns:
        """Of the mesh."""
        size = self.vertices.max(axis=0) - self.vertices.min(axis=0)
        cell = max(FINEST, float(np.sqrt(size[0] * size[1] / MOST_LINES)))
        return columns_of(self.vertices, self.triangles, cell)

    @cached_property
    def undercuts(self) -> tuple[Undercut, Undercut]:
        """Of the lower and the upper half."""
        return undercuts(self.columns if self.face is None else self.face.under(self.columns), self.gap)

    @cached_property
    def thickness(self) -> Thickness:
        """How thick it is."""
        if self.net.vertices is self.bait:
            return thickness_of(self.columns)
        net = self.frame.to_mould(self.net.vertices)
        return thickness_of(columns_of(net, self.net.triangles, self.columns.cell))

    @cached_property
    def tips(self) -> list[Tip]:
        """Its extremities."""
        lower, upper = self.undercuts
        owners, ends = ends_of(self.strands)
        lying = self.frame.to_mould(ends.reshape(-1, 3)).reshape(-1, 2, 3)
        return tips_of(owners, lying, self.columns, self.columns.plan & ~lower.behind & ~upper.behind)

    def on(self, face: Face) -> Cavity:
        """The same with another face between the halves."""
        made = replace(self, face=face)
        return self._handing_on(made, "turned", "vertices", "columns", "thickness")

    def _handing_on(self, made: Cavity, *kept: str) -> Cavity:
        """Another one with what has been worked out of this one already and is the same of that."""
        made.__dict__.update({name: self.__dict__[name] for name in kept if name in self.__dict__})
        return made

    def at(self, frame: Frame) -> Cavity:
        """The same bait on a plane that was looked for, which is its face."""
        return self._handing_on(replace(self, searched=True, frame=frame, face=None), "turned")

    def lowered(self, by: float) -> Cavity:
        """The same with the plane, which is its face, `by` mm of the cold bait higher up."""
        frame = replace(self.frame, height=round(self.frame.height + by, 4))
        made = self._handing_on(replace(self, frame=frame, face=None), "turned")
        down = frame.growth * (frame.height - self.frame.height)
        made.__dict__["columns"] = replace(self.columns, low=self.columns.low - down, high=self.columns.high - down)
        return made

    @property
    def steepest_deg(self) -> float:
        """Slope of the face where the halves meet, degrees; 0 for a plane."""
        return 0.0 if self.face is None else round(self.face.steepest(self.columns.plan, self.columns), 1)

    @property
    def net_volume(self) -> float:
        """mm3 of the bait as it is in the mould, grown and with all that is hollow."""
        return self.net.volume * self.frame.growth**3

    @property
    def heights(self) -> tuple[float, float]:
        """How far it reaches below and above the parting plane, mm."""
        return -float(self.vertices[:, 2].min()), float(self.vertices[:, 2].max())


Plane = tuple[float, float]
"""Turn, degrees, and height, mm."""


def given(asked: Mapping[str, Any]) -> Plane | None:
    """The parting plane that is asked for, if one is."""
    plane = asked["parting"]
    return (float(plane["turn_deg"]), float(plane["height"])) if "height" in plane else None


def cavity_of(subject: Subject, solid: Solid, net: Solid, plane: Plane | None, following: bool = False) -> Cavity:
    """The cavity of a solid on a plane, without one on that of `with_least_undercut`; `net` is the bait's own.

    Raises GeometryFailed.
    """
    cavity = Cavity(
        Frame(cavity_scale(subject.request.normal), 0.0, 0.0),
        False,
        solid.vertices,
        solid.triangles,
        net,
        subject.strands,
        subject.hollows,
        GAP * subject.request.tolerance,
    )
    if plane is None:
        return with_least_undercut(cavity, following)
    turn, height = plane
    on_plane = replace(cavity, frame=Frame(cavity.frame.growth, turn, height))
    below, above = (reach / cavity.frame.growth for reach in on_plane.heights)
    low, high = height - below, height + above
    if not low <= height <= high:
        raise GeometryFailed(
            f"The parting plane at {height:g} mm misses the bait, which at {turn:g} degrees reaches from {low:.2f} to "
            f"{high:.2f} mm."
        )
    return on_plane


def with_least_undercut(cavity: Cavity, following: bool = False) -> Cavity:
    """The same bait on the plane of least undercut, or of least undercut with a face that follows the bait."""
    found = (least_between if following else least_behind)(cavity.turned)
    return cavity.at(Frame(cavity.frame.growth, found.turn, found.height))
