"""Bodies and meshes that the tests measure, made from real requests or straight from strands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import manifold3d
import numpy as np
from numpy.typing import NDArray

from worker.checks.subject import Subject
from worker.measures.strand.size import Size, size_of
from worker.request import Request, read_request
from worker.solid.solid import Solid
from worker.solid.trunk import solid_of
from worker.strands.beads import Beads
from worker.strands.body import Body
from worker.strands.girth import Girth
from worker.strands.outline import CURVE, Gaps, Outline, Pieces
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Relief, Strand

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Made:
    """One strand: its outline, what an estimate says of it and the mesh that a build makes of it."""

    strand: Strand
    tolerance: float = 0.02

    @property
    def body(self) -> Body:
        """Sections."""
        return self.strand.body

    @cached_property
    def size(self) -> Size:
        """By arithmetic, as an estimate has it."""
        return size_of(self.body)

    @cached_property
    def solid(self) -> Solid:
        """The checked mesh."""
        return solid_of(self.strand, self.tolerance)

    def section_area(self, station: float) -> float:
        """Area, mm2, of the mesh cut across at a station: a slice of the solid, by the mesh kernel."""
        upright = self.solid.body.rotate([0.0, -90.0, 0.0])
        low = upright.bounding_box()[2]
        sign = 1.0 if abs(low) < 1.0 else -1.0
        return float(upright.slice(sign * station).area())


def spheres(count: int, radius: float, pitch: float, blend: float = 0.0, tolerance: float = 0.02) -> Made:
    """Equal spheres in a row, the first one's nose at 0."""
    length = 2 * radius + (count - 1) * pitch
    relief = Beads(count=count, length_ratio=1.0, height_ratio=1.0, blend=blend)
    return _made(length, Girth.circular((0.0, 2 * radius), (1.0, 2 * radius)), relief, tolerance)


def plain(length: float, *at_width: tuple[float, float], ends: tuple[float, float], tolerance: float = 0.02) -> Made:
    """A round strand without relief, its ends half ellipsoids `ends` mm long (0: flat)."""
    return _made(length, Girth.circular(*at_width), Plain(ends), tolerance)


def _made(length: float, girth: Girth, relief: Relief, tolerance: float) -> Made:
    return Made(Strand("trunk", "trunk", StraightPath(length), girth, relief), tolerance)


def made(request: Request) -> Made:
    """The trunk of a request."""
    return Made(Subject(request).trunk, float(request.normal["tolerance_mm"]))


def asked(style: str, params: dict[str, Any], **members: Any) -> Request:
    """A request read as a caller's is."""
    return read_request({"style": style, "params": params, **members})


def stepped(*stretches: tuple[float, float]) -> Body:
    """A round bar of stretches (length, diameter) from its root, with upright steps between them."""
    edges = np.concatenate([[0.0], np.cumsum([length for length, _ in stretches])])
    count, zero = len(stretches), np.zeros(len(stretches))
    half = np.array([diameter / 2 for _, diameter in stretches])
    begin, end = (np.array(side) for side in zip(*pairwise(edges), strict=True))
    kind = np.full(count, CURVE)
    pieces = Pieces(kind, begin, end, begin, half, zero, zero, zero, zero, zero)
    nothing, none = np.zeros(0), np.zeros(0, dtype=bool)
    outline = Outline(pieces, edges[[0, -1]], half[[0, -1]], Gaps(nothing, nothing, none, none, nothing, nothing), 0.0)
    return Body(outline, outline)


def volume(solid: Solid) -> float:
    """Sum of a . (b x c) / 6 over the triangles, by NumPy from the vertices alone."""
    a, b, c = (solid.vertices[solid.triangles[:, corner]] for corner in range(3))
    return float((a * np.cross(b, c)).sum() / 6)


def pieces_of(manifold: manifold3d.Manifold) -> int:
    """Parts that do not hang together."""
    return len(manifold.decompose())
