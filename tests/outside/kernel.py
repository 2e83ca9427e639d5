"""Solids in the reference kernel (OpenCASCADE through its bare bindings), from figures worked out in the tests.

Imported inside tests only, which ask for it with `requires("kernel")`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAbs import GeomAbs_Circle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Elips, gp_Pln, gp_Pnt, gp_Vec
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


Place = tuple[float, float, float]


def block(low: Place, high: Place) -> TopoDS_Shape:
    """A box with its edges along the axes."""
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def oval_rod(begin: Place, way: Place, across: float, other: float, length: float) -> TopoDS_Shape:
    """A rod of elliptic section from `begin` along `way`: half-axes along y, and square to y and `way`."""
    longer_is_y = across >= other
    x, y, z = way
    # The axis along which the longer half-axis lies.
    longer = gp_Dir(0, 1, 0) if longer_is_y else gp_Dir(-z, 0, x)
    ellipse = gp_Elips(gp_Ax2(gp_Pnt(*begin), gp_Dir(x, y, z), longer), max(across, other), min(across, other))
    wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(ellipse).Edge()).Wire()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(wire).Face(), gp_Vec(*(length * part for part in way))).Shape()


def rounded_where(shape: TopoDS_Shape, fillet: float, lies_on: Callable[[Place], bool]) -> TopoDS_Shape:
    """Rounds every edge of which seven places `lies_on` is true: the crease where two bodies meet, say."""
    maker, explorer, seen = BRepFilletAPI_MakeFillet(shape), TopExp_Explorer(shape, TopAbs_EDGE), []
    while explorer.More():
        edge = TopoDS.Edge(explorer.Current())
        explorer.Next()
        if BRep_Tool.Degenerated_s(edge) or any(edge.IsSame(other) for other in seen):
            continue
        curve = BRepAdaptor_Curve(edge)
        first, last = curve.FirstParameter(), curve.LastParameter()
        places = [curve.Value(first + (last - first) * part / 6) for part in range(7)]
        if all(lies_on((place.X(), place.Y(), place.Z())) for place in places):
            seen.append(edge)
            maker.Add(fillet, edge)
    return maker.Shape()


def section_area(shape: TopoDS_Shape, point: Place, normal: Place, reach: float) -> float:
    """Area of the cut by the plane through `point`, within a square of half-side `reach`."""
    face = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*point), gp_Dir(*normal)), -reach, reach, -reach, reach).Face()
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(BRepAlgoAPI_Common(face, shape).Shape(), properties, 1e-7)
    return abs(properties.Mass())
