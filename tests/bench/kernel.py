"""The rival: OpenCASCADE through bare bindings. A revolve of exact arcs, its mesher, its STL writer.

A general B-rep kernel is the usual way to a worm's mesh. It is given its best case here: one profile of exact arcs to
revolve (fusing 16 spheres alone costs some hundred times the revolve), and every core of the machine for its mesher.
"""

from __future__ import annotations

import math
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.bench.worms import BEADS, BLEND, DIAMETER, LENGTH

ANGULAR_LIMIT = 0.5
"""rad. Loose enough that the distance alone decides: driven by the angle it needs twice as many triangles."""


@dataclass(frozen=True, slots=True)
class Meshed:
    """What came out: triangles and volume, mm3."""

    triangles: int
    volume: float


class KernelWorm:
    """The 16-bead worm in the kernel. Raises ImportError where the bindings are absent."""

    def __init__(self) -> None:
        import OCP.BRepGProp
        import OCP.BRepMesh
        import OCP.StlAPI

        self._ocp = OCP
        self._shape = self._revolve()
        properties = OCP.GProp.GProp_GProps()
        OCP.BRepGProp.BRepGProp.VolumeProperties_s(self._shape, properties)
        self.exact_volume = float(properties.Mass())

    def stl(self, deflection: float, file: Path) -> None:
        """Profile, revolve, mesh and binary STL; `deflection` in mm."""
        shape = self._revolve()
        self._ocp.BRepMesh.BRepMesh_IncrementalMesh(shape, deflection, False, ANGULAR_LIMIT, True)
        writer = self._ocp.StlAPI.StlAPI_Writer()
        writer.ASCIIMode = False
        if not writer.Write(shape, str(file)):
            raise RuntimeError(f"the kernel did not write {file}")

    def deflection_for(self, error: float) -> tuple[float, Meshed]:
        """The largest deflection, mm, to 3 %, at which the mesh's volume is off by `error` at most, by bisection."""
        fine, coarse = 0.0005, 0.05
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "worm.stl"
            while coarse / fine > 1.03:
                middle = math.sqrt(fine * coarse)
                self.stl(middle, file)
                if abs(read_back(file).volume / self.exact_volume - 1) <= error:
                    fine = middle
                else:
                    coarse = middle
            self.stl(fine, file)
            return fine, read_back(file)

    def _revolve(self) -> object:
        from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
        from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
        from OCP.GC import GC_MakeArcOfCircle
        from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt

        wire = BRepBuilderAPI_MakeWire()

        def arc(*points: tuple[float, float]) -> None:
            circle = GC_MakeArcOfCircle(*(gp_Pnt(x, y, 0.0) for x, y in points)).Value()
            wire.Add(BRepBuilderAPI_MakeEdge(circle).Edge())

        radius = DIAMETER / 2
        pitch = (LENGTH - DIAMETER) / (BEADS - 1)
        # The ball that rolls between two equal circles: its centre midway, its touching points on the centre lines.
        height = math.sqrt((radius + BLEND) ** 2 - (pitch / 2) ** 2)
        away, up = pitch / 2 * radius / (radius + BLEND), height * radius / (radius + BLEND)
        begin = (0.0, 0.0)
        for bead in range(BEADS):
            centre = radius + bead * pitch
            end = (centre + away, up) if bead < BEADS - 1 else (LENGTH, 0.0)
            arc(begin, (centre, radius), end)
            if bead < BEADS - 1:
                begin = (centre + pitch - away, up)
                arc(end, (centre + pitch / 2, height - BLEND), begin)
        wire.Add(BRepBuilderAPI_MakeEdge(gp_Pnt(LENGTH, 0.0, 0.0), gp_Pnt(0.0, 0.0, 0.0)).Edge())
        face = BRepBuilderAPI_MakeFace(wire.Wire(), True).Face()
        shape: object = BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0))).Shape()
        return shape


_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def read_back(file: Path) -> Meshed:
    """Triangles and volume of a binary STL."""
    raw = file.read_bytes()
    count = int.from_bytes(raw[80:84], "little")
    corners = np.frombuffer(raw, dtype=_FACET, offset=84, count=count)["corners"].astype(np.float64)
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    return Meshed(count, float((a * np.cross(b, c)).sum() / 6))
