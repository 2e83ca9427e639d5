"""The two halves before anything is cut out of them, and their vents, which lie in the face between them."""

from __future__ import annotations

from dataclasses import dataclass

from worker.mould.face import Face
from worker.mould.plan import Plan
from worker.mould.vents import ESCAPE_WIDTH, WIDTH, Vent, escape_depth
from worker.solid.carve import Cutter, cutter
from worker.solid.shapes import Mesh, along, box, upright_section
from worker.solid.terrain import terrain

FINE = 0.005
"""How far the face may be off its own nodes for the sake of fewer triangles, mm: both halves have it alike."""


@dataclass(frozen=True)
class Vents:
    """What they cut out of the lower half: meshes where its face is flat, bodies that follow it elsewhere."""

    plain: list[Mesh]
    draped: list[Cutter]


def stock_of(plan: Plan, face: Face | None, depth: float) -> tuple[tuple[Cutter, Cutter], Vents]:
    """Lower and upper half, and vents of `depth` mm. Raises GeometryFailed."""
    block = plan.block
    vents = [vent for each in plan.vents for _, vent in each if isinstance(vent, Vent)]
    if face is None:
        plain = [mesh for vent in vents for mesh in vent.meshes(depth, block.low[2])]
        return (cutter(block.lower_stock()), cutter(block.upper_stock())), Vents(plain, [])
    patches = [face.points(placed) for placed in plan.placed]
    under = cutter([terrain(block.low[:2], block.high[:2], block.low[2], patches)]).plain(FINE)
    halves = cutter(block.cast_dowels(), under), cutter([box(block.low, block.high)]).less(under)
    return halves, _draped(vents, under, (block.low[2], block.high[2]), depth)


def _draped(vents: list[Vent], under: Cutter, heights: tuple[float, float], depth: float) -> Vents:
    """Each as deep along the draw everywhere; on a face of 45 degrees the gap is 0.7 of that, which is no less than
    the low value of every material's vents.
    """
    lands = [along(each.begin, each.land_end, upright_section(WIDTH, *heights)) for each in vents]
    ways = [along(each.land_end, each.end, upright_section(ESCAPE_WIDTH, *heights)) for each in vents if not each.hole]
    both = ((lands, depth), (ways, escape_depth(depth)))
    draped = [cutter(meshes).less(under.lower(deep)) for meshes, deep in both if meshes]
    return Vents([each.drilled(*heights) for each in vents if each.hole], draped)
