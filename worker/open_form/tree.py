"""From strands as they are told to strands: each on every copy of its parent, at every station, on both sides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.open_form.frames import Frame, frame_at
from worker.open_form.paths import path_of
from worker.open_form.shapes import girth_of, places_of, relief_of, section_of, zones_of
from worker.strands.attach import RootOutside, attach
from worker.strands.closing import HumpsHidden
from worker.strands.path import Path
from worker.strands.strand import Strand

Told = Mapping[str, Any]


@dataclass(frozen=True)
class Copy:
    """One strand, the number of the told one that it comes from, and whether it is told the other way round.

    `place` is the number of its station. `twin` is its counterpart on the other side of the bait's middle plane, itself
    where that plane goes through it, None where it has none.
    """

    told: int
    place: int
    strand: Strand
    handed: bool
    twin: str | None


def in_order(told: Sequence[Told]) -> list[int]:
    """Numbers of the told strands, parents first, otherwise as listed. Names must be unique and parents known."""
    by_name = {each["name"]: number for number, each in enumerate(told)}
    order: list[int] = []
    while len(order) < len(told):
        ready = [
            number
            for number, each in enumerate(told)
            if number not in order and ("parent" not in each or by_name[each["parent"]] in order)
        ]
        if not ready:
            raise ValueError("strands that grow out of each other")
        order += ready
    return order


def shaped(told: Told, path: Path, name: str) -> Strand:
    """The strand on its path, not yet grown to its parent."""
    length = path.length
    girth = girth_of(told["girth"], length)
    relief = relief_of(told, girth, length)
    return Strand(
        name,
        told["kind"],
        path,
        girth,
        relief,
        section=section_of(told["section"]),
        cover=told["relief"].get("cover", "all"),
        zones=zones_of(told["bands"], girth, length),
    )


def placed_path(told: Told, frame: Frame, *, handed: bool) -> Path:
    """The path of what is told with `start`, `yaw`, `rise` and perhaps `roll`, in or beside `frame`."""
    start, yaw = told["start"], told["yaw"]
    if handed:
        start, yaw = (start[0], -start[1], start[2]), -yaw
    return path_of(told["path"], frame.turned(start, yaw, told["rise"]), told.get("roll", 0.0), handed=handed)


@dataclass(frozen=True)
class Made:
    """Every strand that can be made, and why others cannot: these are left out with all that grows out of them."""

    copies: list[Copy]
    wrong: list[Fault]


def made_of(told: Sequence[Told]) -> Made:
    """The strands of those told, which have passed the checks that need no strand."""
    made = Made([], [])
    for number in in_order(told):
        made.copies.extend(_copies(number, told[number], list(made.copies), told, made.wrong))
    return made


def _copies(number: int, each: Told, made: Sequence[Copy], told: Sequence[Told], wrong: list[Fault]) -> Iterator[Copy]:
    if "parent" not in each:
        yield from _on_sides(_Place(number, each, 0, "", Frame(), None), {}, wrong)
        return
    parents = [copy for copy in made if told[copy.told]["name"] == each["parent"]]
    done: dict[_Key, Strand] = {}
    for parent in parents:
        places = places_of(each["stations"], parent.strand.path.length)
        for place, station in enumerate(places):
            ending = f" {place + 1}" if len(places) > 1 else ""
            frame = frame_at(parent.strand.path, station)
            yield from _on_sides(_Place(number, each, place, ending, frame, parent, len(parents) > 1), done, wrong)


_Key = tuple[str, int, bool]
"""Name of the parent, number of the station, and whether it is told the other way round."""


@dataclass(frozen=True)
class _Place:
    """Where a told strand is to be made: at one station of one copy of its parent, or by itself."""

    told: int
    each: Told
    place: int
    ending: str
    frame: Frame
    parent: Copy | None
    several: bool = False

    @property
    def on(self) -> str:
        """Name of the parent."""
        return self.parent.strand.name if self.parent else ""

    @property
    def across(self) -> str | None:
        """Name of the parent's counterpart on the other side of the bait."""
        return self.parent.twin if self.parent else ""

    def name(self, on: str, *, handed: bool) -> str:
        """The name of the strand that is made here, or of its like on another copy of its parent."""
        side = ("right " if handed else "left ") if self.each["both_sides"] else ""
        return f"{side}{self.each['name']}{self.ending}" + (f" of the {on}" if self.several else "")

    def twin(self, strand: Strand, *, handed: bool) -> str | None:
        """See Copy."""
        if self.across is not None and (self.each["both_sides"] or self.across != self.on):
            return self.name(self.across, handed=not handed)
        return strand.name if _in_the_middle(strand) else None


def _on_sides(here: _Place, done: dict[_Key, Strand], wrong: list[Fault]) -> Iterator[Copy]:
    """One side, or both. What has its counterpart already is that one handed, so that nothing is worked out twice."""
    turned = here.parent.handed if here.parent else False
    for handed in (turned, not turned) if here.each["both_sides"] else (turned,):
        name = here.name(here.on, handed=handed)
        twin = None if here.across is None else done.get((here.across, here.place, not handed))
        if twin is not None:
            strand = twin.handed(name, here.on or None)
        else:
            parent = here.parent.strand if here.parent else None
            try:
                strand = _grown(_Text(repr(here.each), here.each), here.frame, handed, name, parent)
            except (RootOutside, HumpsHidden) as error:
                wrong.append(_fault(here, error))
                return
        done[here.on, here.place, handed] = strand
        yield Copy(here.told, here.place, strand, handed, here.twin(strand, handed=handed))


@dataclass(frozen=True)
class _Text:
    """A told strand, known by its text."""

    text: str
    told: Told = field(compare=False)


@lru_cache(maxsize=256)  # a remedy tries many baits that differ in one kind of strands: the others are made once
def _grown(each: _Text, frame: Frame, handed: bool, name: str, parent: Strand | None) -> Strand:
    strand = shaped(each.told, placed_path(each.told, frame, handed=handed), name)
    strand.body  # noqa: B018 - worked out here, so that what it raises is told with its place
    return strand if parent is None else attach(strand, parent, each.told["root_blend"])


def _fault(here: _Place, error: RootOutside | HumpsHidden) -> Fault:
    at = f"/strands/{here.told}"
    if isinstance(error, HumpsHidden):
        detail = "One of them lies wholly inside the next: the girth swells too fast there, or they stand too close."
        return Fault(f"{at}/relief", "relief-hidden", detail)
    listed = not isinstance(here.each["stations"], Mapping)
    detail = f"{str(error).capitalize()}: its path begins outside of it, or never leaves it."
    return Fault(f"{at}/stations" + (f"/{here.place}" if listed else ""), "root-outside", detail)


def _in_the_middle(strand: Strand) -> bool:
    """Whether the bait's middle plane goes through all of a strand's path, and its left is the bait's left or right."""
    points, left, _ = strand.path.frames(strand.path.length * np.arange(9) / 8)
    return bool((np.abs(points[:, 1]) < 1e-9).all() and (np.abs(left[:, 1]) > 1 - 1e-12).all())
