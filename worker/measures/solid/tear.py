"""Where each end of a bait tears off, whatever its shape: least sections of the joined solid."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from worker.measures.solid.cut_notch import notch_of
from worker.measures.solid.ends import Cells, Extremity, Holding
from worker.measures.solid.flat_cut import Fitted, FlatCut, fitted, least_section, spread_places
from worker.measures.solid.grid import Flags, Grid, grid_of
from worker.measures.solid.minimum_cut import Cut, Ties, minimum_cut, ties_of
from worker.measures.solid.peeling import LONG, peels, widths_of
from worker.measures.solid.plane_section import Surface
from worker.measures.solid.refined import refined
from worker.measures.solid.seams import seam_of
from worker.measures.solid.tear_section import TearSection
from worker.strands.path import OTHER_SIDE

CELLS = 30_000
"""About so many cells of the first grid fill the solid."""
ACROSS = (16, 24)
"""Cells across the thinner way of a cut, of the two finer grids."""
REFINED = 3
"""So many of the weakest ends are looked at again on finer grids."""
COARSE_UNSURE, FINE_UNSURE = 0.2, 0.01
"""Least uncertainty, over the area, of a flat cut from the first grid, and from finer ones (judgement; measured on
rods, blended necks and necks of two balls under 0.3 % on both, but few cells across a limb may miss its neck)."""
RAW_BIAS, RAW_UNSURE = 1.05, 0.1
"""What a curved cut's area on a fine grid is multiplied by, and how far it may then be off: at 16 cells across a rod
reads 0.9 of the truth and a neck of two balls 1.0 (measured)."""
SEAM_UNSURE = 0.2
"""Least uncertainty of a cut that is long for its thickness: few cells lie across it, and a plane may take in what lies
beyond its ends (measured on a seam of 1 mm: 3 to 20 %)."""
SEAM_NEAR = 1.25
"""The seam lies so many of the first grid's cells at most from where the strand's own cells touch others."""
SEAM_FINER = 3.0
"""A seam along a strand is looked for on cells so much smaller than the first grid's."""
SAME_SHARE = (0.7, 1.4)
"""A plane whose section is outside of these shares of the cut's area meets more, or less, than the cut (judgement)."""

Strength = Callable[[TearSection], float]


def tear_sections(surface: Surface, volume: float, holding: Holding, strength: Strength) -> tuple[TearSection, ...]:
    """One for every end that can be lost, the nose first.

    `strength` tells a section's pull over what it is held to: the three weakest are looked at on finer grids.
    """
    grid = grid_of(surface.vertices, surface.triangles, (volume / CELLS) ** (1 / 3), both_sides=True)
    found, done = _coarse(grid, holding)
    found, sections = _with_seams(surface, found, strength, holding.blunting)
    weakest = sorted(range(len(found)), key=lambda number: strength(sections[number]))[:REFINED]
    listed = []
    for number, each in enumerate(found):
        section = sections[number]
        if number in weakest:
            section = _looked_at_closely(surface, each, section, holding.blunting)
        listed.append(section)
        if each.extremity.twin in done:
            listed.append(_on_the_other_side(section, str(each.extremity.twin)))
    return tuple(listed)


@dataclass(frozen=True)
class _Found:
    """A cut on some grid, and what it had to lose and to keep there."""

    extremity: Extremity
    grid: Grid
    cut: Cut
    ends: Flags
    held: Flags
    seam: Cut | None = None


def _coarse(grid: Grid, holding: Holding) -> tuple[list[_Found], set[str]]:
    """The cuts on the first grid, and the names of those that are another's on the bait's other side."""
    cells, ties = Cells(grid, holding), ties_of(grid)
    held = cells.held
    # A cell or two may differ where the surface runs through their middles.
    even = int((grid.filled != grid.filled[:, ::-1]).sum()) <= len(grid.cells) / 1000
    found: list[_Found] = []
    done: set[str] = set()
    for extremity in holding.extremities:
        if extremity.name in done:
            continue
        limb = extremity.limb
        seam = None if limb is None else seam_of(grid, ties, limb, cells.own(limb))
        each = _cut_off(extremity, grid, ties, cells.ends_of(extremity), held)
        if each is not None:
            found.append(replace(each, seam=seam))
            if even and extremity.twin is not None:
                done.add(extremity.twin)
    return found, done


def _cut_off(extremity: Extremity, grid: Grid, ties: Ties, ends: Flags, held: Flags) -> _Found | None:
    held = held & ~ends
    cut = minimum_cut(grid, ties, ends, held)
    return None if cut is None else _Found(extremity, grid, cut, ends, held)


def _with_seams(
    surface: Surface, found: list[_Found], strength: Strength, blunting: float
) -> tuple[list[_Found], list[TearSection]]:
    """What was found, measured; of strands that lie along others their seam, where that is the weaker."""
    kept, sections = [], []
    for each in found:
        section = _measured(surface, [each], blunting)
        if each.seam is not None:
            none = np.zeros(len(each.ends), dtype=bool)
            size = each.grid.size / SEAM_FINER
            again = refined(surface, each.grid, each.seam, none, each.held, each.seam.area, size, near=SEAM_NEAR)
            if again is not None:
                seam = _Found(each.extremity, again.grid, again.cut, again.ends, again.held)
                along = replace(_measured(surface, [seam], blunting), lost=float(each.seam.lost.mean()))
                if strength(along) < strength(section):
                    each, section = seam, along
        kept.append(each)
        sections.append(section)
    return kept, sections


def _looked_at_closely(surface: Surface, each: _Found, section: TearSection, blunting: float) -> TearSection:
    """The same on two finer grids."""
    across = min(section.width, 2 * math.sqrt(section.area / math.pi))
    finer: list[_Found] = []
    for cells in ACROSS:
        again = refined(surface, each.grid, each.cut, each.ends, each.held, section.area, across / cells)
        if again is None:
            return section
        if finer and again.grid.size == finer[-1].grid.size:
            break  # a seam so long that there is no room for finer cells
        finer.append(_Found(each.extremity, again.grid, again.cut, again.ends, again.held))
    return replace(_measured(surface, finer, blunting, fine=True), lost=section.lost, long_seam=section.long_seam)


def _measured(surface: Surface, cuts: list[_Found], blunting: float, *, fine: bool = False) -> TearSection:
    """One cut on one grid after the other; the last is the finest and counts, the others tell how sure it is.

    `blunting`: by how much notches count as rounder, mm.
    """
    looks = [_look(surface, each, fine=fine) for each in cuts]
    last, (area, plane, flat) = cuts[-1], looks[-1]
    areas = [look[0] for look in looks]
    least = (FINE_UNSURE if fine else COARSE_UNSURE) if flat is not None else RAW_UNSURE * (1 if fine else 2)
    width = area / plane.length
    if plane.length > LONG * width:
        least = max(least, SEAM_UNSURE)
    widths = widths_of(last.cut.places, last.cut.shares * (area / last.cut.area), plane.lengthwise)
    lost = last.grid.middles[last.cut.lost]
    return TearSection(
        extremity=last.extremity.name,
        kind=last.extremity.kind,
        area=area,
        uncertainty=least * area + max(areas) - min(areas),
        notch_factor=1.0 if flat is None else notch_of(surface, flat, spread_places(last.cut), blunting),
        length=plane.length,
        width=width,
        widest=float(widths.max()),
        # Nose and tail end are the trunk's own: they lie along no seam.
        long_seam=last.extremity.limb is not None
        and peels(plane.length, widths, plane.middle, plane.normal, plane.lengthwise, lost),
        middle=plane.middle if flat is None else flat.point,
        normal=plane.normal if flat is None else flat.normal,
        lost=float(last.cut.lost.mean()),
        flat=flat is not None,
        fine=fine,
    )


def _look(surface: Surface, each: _Found, *, fine: bool) -> tuple[float, Fitted, FlatCut | None]:
    """The area, mm2, of a cut, the plane through it, and the least section near that plane where it is flat."""
    raw = RAW_BIAS * each.cut.area if fine else _unbiased(each.cut.area, each.grid.size)
    plane = fitted(each.grid, each.cut, raw)
    # On a coarse grid a flat cut that lies at an angle has steps of its cells.
    if plane.flat or plane.off <= 0.6 * each.grid.size:
        flat = least_section(surface, each.grid, each.cut, plane, each.ends, each.held)
        if flat is not None and SAME_SHARE[0] * raw <= flat.area <= SAME_SHARE[1] * raw:
            return flat.area, plane, flat
    return raw, plane, None


def _unbiased(raw: float, size: float) -> float:
    """A grid's area with what few cells across miss at the rim: a rod reads 0.9 of the truth at 10 of them."""
    across = 2 * math.sqrt(raw / math.pi) / size
    return raw * (1 + 1 / max(across, 2.0))


def _on_the_other_side(section: TearSection, name: str) -> TearSection:
    return replace(section, extremity=name, middle=section.middle * OTHER_SIDE, normal=section.normal * OTHER_SIDE)
