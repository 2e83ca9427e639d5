"""Solids in the reference kernel (OpenCASCADE through its bare bindings), from figures worked out in the tests.

Imported inside tests only, which ask for it with `requires("kernel")`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeRevol, BRepPrimAPI_MakeSphere
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAbs import GeomAbs_Circle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

Point = tuple[float, float]
_X = gp_Dir(1, 0, 0)


@dataclass(frozen=True)
class Arc:
    """Part of a circle in the half-plane y >= 0: from one point on it to another, by the shorter way."""

    centre: Point
    radius: float
    begin: Point
    end: Point

    def middle(self) -> Point:
        """The point half-way along."""
        x = (self.begin[0] + self.end[0]) / 2 - self.centre[0]
        y = (self.begin[1] + self.end[1]) / 2 - self.centre[1]
        scale = self.radius / math.hypot(x, y)
        return self.centre[0] + scale * x, self.centre[1] + scale * y


def revolved(arcs: Sequence[Arc]) -> TopoDS_Shape:
    """The solid that an outline of arcs from axis to axis sweeps about x."""
    wire = BRepBuilderAPI_MakeWire()
    for arc in arcs:
        through = (gp_Pnt(x, y, 0) for x, y in (arc.begin, arc.middle(), arc.end))
        wire.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*through).Value()).Edge())
    first, last = arcs[0].begin, arcs[-1].end
    wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(*last, 0), gp_Pnt(*first, 0)).Edge())
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), _X)).Shape()


def ball(x: float, radius: float) -> TopoDS_Shape:
    """A ball on the axis."""
    return BRepPrimAPI_MakeSphere(gp_Ax2(gp_Pnt(x, 0, 0), _X), radius).Shape()


def rod(begin: float, end: float, radius: float) -> TopoDS_Shape:
    """A cylinder along the axis."""
    return BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(begin, 0, 0), _X), radius, end - begin).Shape()


def fused(shapes: Iterable[TopoDS_Shape]) -> TopoDS_Shape:
    """All of them as one."""
    first, *rest = shapes
    for shape in rest:
        first = BRepAlgoAPI_Fuse(first, shape).Shape()
    return first


def filleted(
    shape: TopoDS_Shape, edges_of_radius: float, fillet: float, between: tuple[float, float] = (-math.inf, math.inf)
) -> TopoDS_Shape:
    """Rounds every circular edge of that radius whose plane lies `between` two places on the axis."""
    maker = BRepFilletAPI_MakeFillet(shape)
    explorer, seen = TopExp_Explorer(shape, TopAbs_EDGE), []
    while explorer.More():
        edge = TopoDS.Edge(explorer.Current())
        explorer.Next()
        if BRep_Tool.Degenerated_s(edge) or any(edge.IsSame(other) for other in seen):
            continue
        curve = BRepAdaptor_Curve(edge)
        if curve.GetType() != GeomAbs_Circle:
            continue
        circle = curve.Circle()
        about_x = abs(abs(circle.Axis().Direction().X()) - 1) < 1e-9
        here = between[0] < circle.Location().X() < between[1]
        if about_x and here and abs(circle.Radius() - edges_of_radius) < 1e-6:
            seen.append(edge)
            maker.Add(fillet, edge)
    return maker.Shape()


def volume(shape: TopoDS_Shape) -> float:
    """Its volume by the kernel's own integration; raises AssertionError for a shape that it finds invalid."""
    assert BRepCheck_Analyzer(shape).IsValid()
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties, 1e-9)
    return abs(properties.Mass())
