"""Hollows at a place: bores, pockets and eye sockets. All are round."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from worker.open_form.frames import Frame, frame_at, turn_of
from worker.strands.girth import Girth
from worker.strands.path import Point, StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import HollowKind, Strand

Told = Mapping[str, Any]

CLEAR = 1.5
"""How far a hollow that opens reaches beyond the surface, mm: it shows no rim of its own."""


def rod(kind: HollowKind, path: StraightPath, diameter: float, ends: tuple[float, float]) -> Strand:
    """A round hollow."""
    return Strand(kind, kind, path, Girth.circular((0.0, diameter), (1.0, diameter)), Plain(ends))


def bore(told: Told, strand: Strand, station: float, handed: bool) -> Strand:
    """From `start` on into the strand, blind and round at its end; at an end of the strand it opens there."""
    length, diameter = told["length"], told["diameter"]
    frame = _pointed(told, strand, station, handed)
    before = CLEAR if _at_an_end(strand, station) else 0.0
    path = _ahead(frame, -before, length + before)
    return rod("bore", path, diameter, (0.0, min(diameter / 2, length)))


def pocket(told: Told, strand: Strand, station: float, handed: bool) -> Strand:
    """Closed all around, its middle at the place; round at both ends."""
    length, diameter = max(told["length"], told["diameter"]), told["diameter"]
    frame = _pointed(told, strand, station, handed)
    # Two caps that meet in one plane leave no stretch between them: a ball has a hair of one.
    end = min(diameter / 2, 0.499 * length)
    return rod("pocket", _ahead(frame, -length / 2, length), diameter, (end, end))


def socket(told: Told, strand: Strand, station: float, handed: bool) -> Strand:
    """From outside of the surface straight towards the path, with a flat floor."""
    out, reach = around(strand, station, -told["around"] if handed else told["around"])
    inward = Frame(out.origin, _turned(out.ahead), out.left, _turned(out.back))
    return rod("socket", _ahead(inward, -reach - CLEAR, told["depth"] + CLEAR), told["diameter"], (0.0, 0.0))


def _ahead(frame: Frame, begin: float, length: float) -> StraightPath:
    return StraightPath(length, frame.point((begin, 0.0, 0.0)), frame.ahead, frame.left)


def around(strand: Strand, station: float, degrees: float) -> tuple[Frame, float]:
    """Away from the path at a station, so many degrees from the back by way of the left: the frame whose `ahead` it is.

    Its left is the path's own way on. With it the distance to the strand's surface without relief, mm.
    """
    here = frame_at(strand.path, station)
    cosine, sine = turn_of(degrees)
    out, square = here.direction((0.0, sine, cosine)), here.direction((0.0, cosine, -sine))
    sizes = strand.smooth.sizes(np.array([station]))
    share = float(strand.section.beyond(*sizes, np.array([sine]), np.array([cosine]))[0]) + 1
    return Frame(here.origin, out, here.ahead, square), 1 / max(share, 1e-9)


def _turned(way: Point) -> Point:
    return -way[0] + 0.0, -way[1] + 0.0, -way[2] + 0.0


def _at_an_end(strand: Strand, station: float) -> bool:
    return min(station, strand.path.length - station) < 1e-6


def _pointed(told: Told, strand: Strand, station: float, handed: bool) -> Frame:
    """Where a bore or pocket begins and which way it goes; from the tip end it looks back to the root."""
    frame = frame_at(strand.path, station)
    if math.isclose(station, strand.path.length):
        frame = replace(frame, ahead=_turned(frame.ahead), left=_turned(frame.left))
    start, yaw = told["start"], told["yaw"]
    if handed:
        start, yaw = (start[0], -start[1], start[2]), -yaw
    return frame.turned(start, yaw, told["rise"])
