"""Strands told in the words of the open form, so that what a style makes can be copied, changed and sent."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from worker.open_form.declared import LONGEST_NAME
from worker.open_form.frames import Frame, frame_at
from worker.open_form.telling_paths import told_path
from worker.open_form.telling_shapes import rounded, told_relief, told_shape
from worker.strands.path import HandedPath
from worker.strands.strand import Root, Strand
from worker.values.stations import in_text

Told = dict[str, Any]

SHORTER = 1e-3
"""mm."""


@dataclass
class _Names:
    """What each told strand is called: one that stands on both sides loses its side."""

    strands: Sequence[Strand]
    twins: Mapping[str, str] = field(init=False)

    def __post_init__(self) -> None:
        by_path = {id(strand.path): strand.name for strand in self.strands}
        self.twins = {
            by_path[id(strand.path.of)]: strand.name
            for strand in self.strands
            if isinstance(strand.path, HandedPath) and id(strand.path.of) in by_path
        }

    def shown(self, strand: Strand) -> bool:
        """Whether it is told: the other one of two is not."""
        return strand.name not in self.twins.values()

    def both(self, strand: Strand) -> bool:
        """Whether it stands on both sides of its parent: one whose parent does too has no need to say so."""
        root = strand.root
        return strand.name in self.twins and (root is None or root.parent not in self.twins)

    def of(self, name: str) -> str:
        """What the strand of that name is told as."""
        left = next((left for left, right in self.twins.items() if right == name), name)
        if left not in self.twins:
            return name[:LONGEST_NAME]
        return left.removeprefix("left ")[:LONGEST_NAME]


def told_strands(strands: Sequence[Strand]) -> list[Told]:
    """The `strands` of a request in the open form; see `untold` for what it cannot say."""
    names = _Names(strands)
    by_name = {strand.name: strand for strand in strands}
    return [_told(strand, names, by_name) for strand in strands if names.shown(strand)]


def _told(strand: Strand, names: _Names, by_name: Mapping[str, Strand]) -> Told:
    told: Told = {"name": names.of(strand.name), "kind": strand.kind}
    frame = Frame()
    if strand.root is not None:
        parent = by_name[strand.root.parent]
        frame = frame_at(parent.path, _station(strand.root, parent))
        told |= {"parent": names.of(parent.name), "stations": [in_text(_station(strand.root, parent))]}
    told |= told_path(strand.path, frame)
    if names.both(strand):
        told["both_sides"] = True
    if strand.root is not None:
        told["root_blend"] = rounded(strand.root.blend)
    return {**told, **told_shape(strand)}


def _station(root: Root, parent: Strand) -> float:
    # A curve that is told in four decimals may come out a hair shorter.
    last = parent.path.length if parent.path.straight else parent.path.length - SHORTER
    return min(max(rounded(root.station), 0.0), rounded(last))


def told_hollows(hollows: Sequence[Strand]) -> list[Told]:
    """The `hollows` of such a request, each as the strand that is taken out."""
    names = _Names(hollows)
    return [_hollow(hollow, names) for hollow in hollows if names.shown(hollow)]


def _hollow(hollow: Strand, names: _Names) -> Told:
    shape = told_shape(hollow)
    kept: Told = {name: part for name, part in shape.items() if name in ("girth", "section", "ends")}
    both: Told = {"both_sides": True} if names.both(hollow) else {}
    return {"kind": hollow.kind, **told_path(hollow.path, Frame()), **both, **kept}


def untold(strands: Sequence[Strand]) -> Iterator[str]:
    """What the open form cannot say of them, a sentence each."""
    for strand in strands:
        if told_relief(strand) is None:
            kind = strand.relief.describe()["kind"]
            yield f"The {strand.name}: the open form has no {kind}; its girth is told without."
