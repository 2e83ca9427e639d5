"""What is taken out of the strands of the open form: each hollow as the strand, or strands, that are taken out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from worker.open_form.frames import Frame, frame_at
from worker.open_form.hollows.along import cuts, inside, slot
from worker.open_form.hollows.rods import bore, pocket, socket
from worker.open_form.shapes import places_of
from worker.open_form.tree import Copy, placed_path, shaped
from worker.strands.strand import Strand

Told = Mapping[str, Any]

_ALONG: Mapping[str, Callable[[Told, Copy], list[Strand]]] = {"slot": slot, "inside": inside, "cut": cuts}
_AT_STATIONS: Mapping[str, Callable[[Told, Strand, float, bool], Strand]] = {
    "bore": bore,
    "pocket": pocket,
    "socket": socket,
}
_PLAIN = {"relief": {"kind": "plain"}, "bands": ()}


def made_of(told: Told, strands: Sequence[Told], made: Sequence[Copy]) -> list[Strand]:
    """The strands that one told hollow takes out, not yet named."""
    if "path" in told and "strand" not in told:
        sides = (False, True) if told["both_sides"] else (False,)
        return [_as_told(told, Frame(), handed=handed) for handed in sides]
    copies = [copy for copy in made if strands[copy.told]["name"] == told["strand"]]
    if told["kind"] in _ALONG and "path" not in told:
        return [hollow for copy in copies for hollow in _ALONG[told["kind"]](told, copy)]
    return [hollow for copy in copies for hollow in _at_stations(told, copy)]


def _at_stations(told: Told, copy: Copy) -> Iterator[Strand]:
    for station in places_of(told["stations"], copy.strand.path.length):
        for handed in (copy.handed, not copy.handed) if told["both_sides"] else (copy.handed,):
            if "path" in told:
                yield _as_told(told, frame_at(copy.strand.path, station), handed=handed)
            else:
                yield _AT_STATIONS[told["kind"]](told, copy.strand, station, handed)


def _as_told(told: Told, frame: Frame, *, handed: bool) -> Strand:
    return shaped({**told, **_PLAIN}, placed_path(told, frame, handed=handed), told["kind"])


def hollows_of(taken_out: Sequence[Told], strands: Sequence[Told], made: Sequence[Copy]) -> list[Strand]:
    """Every hollow, each with a name that no strand and no other hollow has."""
    names = {copy.strand.name for copy in made}
    found: list[Strand] = []
    for number, told in enumerate(taken_out):
        several = made_of(told, strands, made)
        for place, hollow in enumerate(several):
            name = f"{told['kind']} {number + 1}" + (f".{place + 1}" if len(several) > 1 else "")
            while name in names:
                name += "'"
            names.add(name)
            found.append(replace(hollow, name=name))
    return found
