"""Girths, sections, reliefs, ends and bands told in the words of the open form."""

from __future__ import annotations

from typing import Any

from worker.strands.armour import Plates
from worker.strands.beads import Beads
from worker.strands.plain import Plain
from worker.strands.plates import Plate
from worker.strands.ribs import Ribs
from worker.strands.rings_relief import Rings
from worker.strands.strand import Strand
from worker.strands.zones import Zone
from worker.values.parameter import six_digits
from worker.values.stations import in_text

Told = dict[str, Any]


def rounded(millimetres: float) -> float:
    """As lengths are in normal form."""
    return round(millimetres, 4) + 0.0


def told_shape(strand: Strand) -> Told:
    """`girth`, `section`, `relief`, `ends` and `bands`; what is at its default is left out."""
    told: Told = {"girth": [_station(row) for row in strand.girth.describe()]}
    if not strand.section.elliptic:
        told["section"] = {
            name: rounded(value) if name == "floor" else six_digits(value)
            for name, value in strand.section.described.items()
        }
    relief = told_relief(strand)
    if relief is not None and relief["kind"] != "plain":
        cover = {} if strand.cover == "all" else {"cover": strand.cover}
        told["relief"] = {**relief, **cover}
    ends = getattr(strand.relief, "ends", None)
    if ends is not None:
        told["ends"] = {"root": rounded(ends[0]), "tip": rounded(ends[1])}
        if isinstance(strand.relief, Plate):
            told["ends"]["upright"] = True
    if strand.zones:
        told["bands"] = [_band(zone) for zone in strand.zones]
    return told


def _station(row: Told) -> Told:
    return {name: six_digits(value) if name == "at" else rounded(value) for name, value in row.items()}


def _band(zone: Zone) -> Told:
    told: Told = {"from": in_text(rounded(zone.begin)), "to": in_text(rounded(zone.end))}
    if zone.raised:
        told["raised"] = rounded(zone.raised)
    return told if zone.cap is None else {**told, "head": rounded(zone.cap)}


def told_relief(strand: Strand) -> Told | None:
    """The relief; None where the open form has none of its kind."""
    match strand.relief:
        case Plain() | Plate():
            return {"kind": "plain"}
        case Ribs() as ribs:
            row = _row("ribs", ribs.begin, ribs.pitch, ribs.count)
            return {**row, **_cut(ribs)}
        case Plates() as plates:
            ribs = plates.ribs
            begin = strand.path.length - ribs.begin - ribs.count * ribs.pitch
            return {**_row("ribs", begin, ribs.pitch, ribs.count), **_cut(ribs), "steep": "tail"}
        case Rings() as rings:
            row = _row("rings", rings.begin - rings.pitch / 2, rings.pitch, rings.count)
            return {**row, "depth": rounded(rings.depth)}
        case Beads() as beads:
            told = {
                "kind": "beads",
                "count": beads.count,
                "length_ratio": six_digits(beads.length_ratio),
                "blend": rounded(beads.blend),
                "segment": beads.segment,
            }
            if beads.core is None:
                return told
            core = {"width_share": beads.core.width_share, "height_share": beads.core.height_share}
            return {**told, "core": {name: six_digits(share) for name, share in core.items()}}
    return None


def _cut(ribs: Ribs) -> Told:
    return {"depth": rounded(ribs.depth), "land": rounded(ribs.land), "edge": rounded(ribs.edge)}


def _row(kind: str, begin: float, pitch: float, count: int) -> Told:
    """Its end says the pitch better than the pitch itself could, which is rounded."""
    ends = {"from": in_text(rounded(begin)), "to": in_text(rounded(begin + count * pitch))}
    return {"kind": kind, **ends, "count": count}
