"""The zones of a trunk: its head, a smooth nose, an egg band. What is modelled into it gives way to its plain girth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from worker.strands.strand import Strand
from worker.strands.zones import Zone
from worker.styles.bores import bores_of
from worker.styles.placing import rounded_end, rounded_nose
from worker.styles.style import Params
from worker.styles.worm_parameters import number

HEADS: dict[str, float] = {"blunt": 0.45, "bullet": 1.9, "flat": 0.0}
"""Length of a head over half the body's thickness behind it; a round one is the style's own (judgement)."""
SHORTEST_BAND = 3.0
"""Least length of an egg band, mm: from one crest to the next, where beads or ribs stand that far apart."""
LEVEL = 1e-6
"""Where the outline is as near to the girth as this, mm, a zone may begin and leave no step."""


def zones_of(trunk: Strand, params: Params) -> tuple[Zone, ...]:
    """What a trunk's zones are, from the nose to the tail."""
    faces = {bore.from_nose: bore.face for bore in bores_of(params)}
    nose = _nose(trunk, params, faces.get(True, 0.0))
    band = _band(replace(trunk, zones=(*trunk.zones, *nose)), params)
    end, length = rounded_end(trunk), trunk.path.length
    if False not in faces or end == 0:
        return (*nose, *band)
    return (*nose, *band, Zone(length - end, length, tip=end, face=faces[False]))


def _half_thickness(trunk: Strand, station: float) -> float:
    """Mean of the girth's half-width and half-height, mm."""
    girth, length = trunk.girth, trunk.path.length
    width, back, belly = (
        top.height_at(station) for top in (girth.half_widths(length), girth.backs(length), girth.bellies(length))
    )
    return (width + (back + belly) / 2) / 2


def _nose(trunk: Strand, params: Params, face: float) -> tuple[Zone, ...]:
    """The head and the smooth nose in one; `face` is the radius of the flat that a bore asks for."""
    smooth, own = number(params, "nose_smooth") / 100 * number(params, "length"), rounded_nose(trunk)
    shape = HEADS.get(str(params["head"]))
    if shape is None and (face == 0 or own == 0):
        return (Zone(0.0, level_place(trunk, smooth)),) if smooth > 0 else ()
    head = own if shape is None else shape * _half_thickness(trunk, own)
    least = max(head, own)
    return (Zone(0.0, level_place(trunk, max(smooth, least), least), cap=head, face=face),)


def _band(trunk: Strand, params: Params) -> tuple[Zone, ...]:
    long = number(params, "egg_band")
    if long == 0:
        return ()
    middle = number(params, "egg_band_at") / 100 * number(params, "length")
    begin = level_place(trunk, middle - long / 2)
    end = level_place(trunk, middle + long / 2, begin + SHORTEST_BAND)
    return (Zone(begin, end, raised=number(params, "egg_band_height")),)


def level_place(trunk: Strand, station: float, least: float = 0.0) -> float:
    """Where a zone may begin or end, nearest to a station and not before `least`: on the plain girth, or on a crest."""
    if station >= least and _is_girth(trunk, station):
        return station
    crests = trunk.body.relief.crest_x
    crests = crests[crests >= least - LEVEL] if float(crests[-1]) >= least - LEVEL else crests[-1:]
    return float(crests[np.abs(crests - station).argmin()])


def _is_girth(trunk: Strand, station: float) -> bool:
    """Whether the outline is the plain girth just before and just behind a station."""
    around = np.array([station - 0.05, station, station + 0.05])
    both = zip(trunk.body.sizes(around), trunk.smooth.sizes(around), strict=True)
    return all(bool(np.all(np.abs(shaped - smooth) < LEVEL)) for shaped, smooth in both)
