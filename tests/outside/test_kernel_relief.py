"""Ribs and joined rods against the reference kernel (OpenCASCADE): volumes within 0.1 %.

The ribs' profile is worked out here from the words of the parameters alone: an upright face, a level land, a slope to
the foot of the next face, whose round leaves the groove exactly `depth` deep. The kernel turns the sharp profile about
the axis and rounds its edges itself.
"""

from __future__ import annotations

import math

import pytest

from tests.outside.made import volume
from tests.requires import requires
from worker.solid.join import joined
from worker.solid.trunk import solid_of
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.strand import Strand

pytestmark = requires("kernel")

WITHIN = 1e-3


@pytest.mark.parametrize(("pitch", "depth", "land", "edge"), [(4.0, 1.0, 1.2, 0.3), (3.0, 0.7, 1.0, 0.25)])
def test_a_ribbed_rod(pitch: float, depth: float, land: float, edge: float) -> None:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

    from tests.outside import kernel

    radius, length, count, begin = 5.0, 60.0, 8, 14.0
    # Sharp depth at the foot, so that a ball of `edge` between slope and face has its lowest point `depth` down.
    sharp = _sharp_depth(pitch - land, depth, edge)
    profile = [(0.0, 0.0), (0.0, radius)]
    for i in range(count):
        foot = begin + pitch * (i + 1) - land
        profile += [(begin + pitch * i, radius), (foot, radius - sharp), (foot, radius)]
    profile += [(length, radius), (length, 0.0)]
    polygon = BRepBuilderAPI_MakePolygon()
    for x, y in profile:
        polygon.Add(gp_Pnt(x, y, 0))
    polygon.Close()
    face = BRepBuilderAPI_MakeFace(polygon.Wire()).Face()
    shape = BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0))).Shape()
    shape = kernel.filleted(shape, radius - sharp, edge)
    shape = kernel.filleted(shape, radius, edge, between=(1.0, length - 1.0))
    exact = kernel.volume(shape)

    ribs = Ribs(count=count, pitch=pitch, depth=depth, land=land, edge=edge, begin=begin, ends=(0.0, 0.0))
    girth = Girth.circular((0.0, 2 * radius), (1.0, 2 * radius))
    strand = Strand("trunk", "trunk", StraightPath(length), girth, ribs)
    assert volume(solid_of(strand, 0.02)) == pytest.approx(exact, rel=WITHIN)
    # Said again without the kernel: the groove is as deep as asked.
    assert radius - float(strand.body.side.gaps.height.min()) == pytest.approx(depth, abs=1e-6)


def _sharp_depth(run: float, depth: float, edge: float) -> float:
    """By halving: deeper at the foot, deeper under the ball."""

    def rounded(sharp: float) -> float:
        angle = math.atan2(sharp, run)
        # The ball rests on the face, and on the slope at its foot: its centre lies `edge` before the face.
        over_foot = edge * math.tan(angle) + edge / math.cos(angle)
        return sharp - (over_foot - edge)

    low, high = depth, depth + 2 * edge
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if rounded(middle) < depth else (low, middle)
    return (low + high) / 2


def test_three_rods_joined() -> None:
    """A thick rod, a thinner one across it and one aslant: no closed form, so the kernel's."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    from tests.outside import kernel

    aslant = (1 / math.sqrt(2), 1 / math.sqrt(2))
    rods = [((0.0, 0.0, 0.0), (1.0, 0.0), 50.0, 5.0), ((20.0, -15.0, 1.0), (0.0, 1.0), 30.0, 2.0)]
    rods.append(((30.0, 0.0, -1.0), aslant, 25.0, 1.5))
    shapes = [
        BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*at), gp_Dir(x, y, 0)), radius, length).Shape()
        for at, (x, y), length, radius in rods
    ]
    exact = kernel.volume(kernel.fused(shapes))
    strands = [
        Strand(
            "rod",
            "trunk",
            StraightPath(length, at, (*towards, 0.0), (-towards[1], towards[0], 0.0)),
            Girth.circular((0.0, 2 * radius), (1.0, 2 * radius)),
            Plain((0.0, 0.0)),
        )
        for at, towards, length, radius in rods
    ]
    assert volume(joined(strands, 0.02)) == pytest.approx(exact, rel=WITHIN)
