"""Girths, sections, reliefs, ends and bands of the open form, from their normal form."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from worker.strands.armour import Plates
from worker.strands.beads import Beads, Core
from worker.strands.girth import Girth, GirthStation
from worker.strands.plain import Plain
from worker.strands.plates import Plate
from worker.strands.ribs import Ribs
from worker.strands.rings_relief import Rings
from worker.strands.section import ELLIPSE, Section
from worker.strands.strand import Relief
from worker.strands.zones import Zone
from worker.values.stations import Station, along

END_OVER_HALF = {"flat": 0.0, "blunt": 0.5, "round": 1.0, "pointed": 3.0}
"""Length of an end over the larger of half the width and half the height there: round as seen from its broader side,
blunt half as long, pointed three times (judgement)."""

Told = Mapping[str, Any]


def girth_of(told: Sequence[Told], length: float) -> Girth:
    """The girth along a path of `length` mm: level before the first station and behind the last one."""
    rows = [(along(row["at"], length) / length, row["width"], row["back"], row["belly"]) for row in told]
    first, last = rows[0], rows[-1]
    before = [(0.0, *first[1:])] if first[0] > 0 else []
    behind = [(1.0, *last[1:])] if last[0] < 1 else []
    return Girth(tuple(GirthStation(*row) for row in (*before, *rows, *behind)))


def section_of(told: Told) -> Section:
    """The section."""
    section = Section(told["upper"], told["lower"], told.get("floor"))
    return ELLIPSE if section == ELLIPSE else section


def ends_of(told: Told, girth: Girth) -> tuple[float, float]:
    """Lengths of the two ends, mm."""
    first, last = girth.stations[0], girth.stations[-1]
    return _end(told["root"], first), _end(told["tip"], last)


def _end(told: str | float, at: GirthStation) -> float:
    if isinstance(told, str):
        return END_OVER_HALF[told] * max(at.width, at.back + at.belly) / 2
    return told


def height_ratio(girth: Girth) -> float:
    """Height of a girth's first section over its width."""
    first = girth.stations[0]
    return round((first.back + first.belly) / first.width, 3)


def row_of(told: Told, length: float) -> tuple[float, float, int]:
    """Where a row of ribs or rings begins, from one to the next, mm, and how many there are."""
    begin = along(told["from"], length)
    room = along(told["to"], length) - begin
    if "count" in told:
        return begin, room / told["count"], told["count"]
    return begin, told["pitch"], max(1, math.floor(room / told["pitch"] + 1e-9))


def relief_of(strand: Told, girth: Girth, length: float) -> Relief:
    """The relief, with the ends of its strand."""
    told, ends = strand["relief"], ends_of(strand["ends"], girth)
    match told["kind"]:
        case "beads":
            core = told.get("core")
            return Beads(
                told["count"],
                told["length_ratio"],
                height_ratio(girth),
                told["blend"],
                told["segment"],
                None if core is None else Core(core["width_share"], core["height_share"]),
            )
        case "ribs":
            begin, pitch, count = row_of(told, length)
            cut = (told["depth"], told["land"], told["edge"])
            if told["steep"] == "nose":
                return Ribs(count, pitch, *cut, begin, ends)
            return Plates(Ribs(count, pitch, *cut, length - begin - count * pitch, ends[::-1]))
        case "rings":
            begin, pitch, count = row_of(told, length)
            return Rings(count, pitch, told["depth"], begin + pitch / 2, ends)
        case _:
            return Plate(ends) if strand["ends"]["upright"] else Plain(ends)


def zones_of(told: Sequence[Told], girth: Girth, length: float) -> tuple[Zone, ...]:
    """The bands."""
    return tuple(
        Zone(along(band["from"], length), along(band["to"], length), band["raised"], _head(band, girth))
        for band in told
    )


def _head(band: Told, girth: Girth) -> float | None:
    return _end(band["head"], girth.stations[0]) if "head" in band else None


def span(told: Told, length: float) -> tuple[float, float]:
    """`from` and `to`, mm."""
    begin, end = (along(told[name], length) for name in ("from", "to"))
    return begin, end


def places_of(told: Sequence[Station] | Told, length: float) -> list[float]:
    """The places of `stations`, mm along a path of `length`: those listed, or so many evenly."""
    if isinstance(told, Mapping):
        begin, end = span(told, length)
        steps = told["count"] - 1
        return [begin + (end - begin) * step / steps for step in range(steps + 1)]
    return [along(station, length) for station in told]
