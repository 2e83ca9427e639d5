"""How much plastic of each colour a bait takes: shares of its volume, by which its mass goes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from worker.errors import Fault
from worker.strands.strand import Strand

CORE_SHARE_OF_LENGTH = 0.7
"""Of the bait's length, a core's where none is told (judgement)."""


@dataclass(frozen=True, slots=True)
class Coloured:
    """One colour of a bait: where it lies, what it is called, `#rrggbb`, and its share of the volume."""

    place: str
    name: str
    colour: str
    share: float


def colours_of(shot: Mapping[str, Any], finish: str, length: float, volume: float) -> tuple[Coloured, ...]:
    """The colours of a bait of `length` mm and `volume` mm3, the back's or the skin's first; shares add up to 1."""
    asked, method = shot["colours"], shot["method"]
    if method == "laminate":
        given = [each.get("share_pct") for each in asked]
        left = (100 - sum(each for each in given if each is not None)) / max(given.count(None), 1)
        shares = [(left if each is None else each) / 100 for each in given]
        places = [*("back", "middle", "lower middle")[: len(asked) - 1], "belly"]
    elif method == "core_shot":
        core = min(core_volume(shot, length) / volume, 1.0)
        shares, places = [1 - core, core], ["skin", "core"]
    else:
        shares, places = [1.0], ["all"]
    told = [*asked, *({} for _ in range(len(shares) - len(asked)))]
    return tuple(
        Coloured(place, each.get("name", place if len(shares) > 1 else "colour"), each.get("colour", finish), share)
        for place, each, share in zip(places, told, shares, strict=True)
    )


def core_length(shot: Mapping[str, Any], length: float) -> float:
    """mm that a core runs along the middle of a bait of `length` mm, round ends and all."""
    return float(shot.get("core_length", CORE_SHARE_OF_LENGTH * length))


def core_volume(shot: Mapping[str, Any], length: float) -> float:
    """mm3 of a round core with round ends: pi d^2 / 4 (l - d / 3), exact for a capsule; no shorter than a ball."""
    diameter = float(shot["core_diameter"])
    along = max(core_length(shot, length), diameter)
    return math.pi / 4 * diameter * diameter * (along - diameter / 3)


def core_faults(shot: Mapping[str, Any] | None, trunk: Strand) -> Iterator[Fault]:
    """A core that does not lie in the trunk: thicker than its thickest section, or longer."""
    if shot is None or shot["method"] != "core_shot":
        return
    body, most = trunk.body, trunk.path.length
    widest = min(2 * float(body.side.crest_y.max()), body.greatest_height)
    if shot["core_diameter"] >= widest:
        allowed = {"maximum": round(0.8 * widest, 2), "unit": "mm"}
        detail = f"A core of {shot['core_diameter']:g} mm leaves no skin on a trunk of {widest:.3g} mm."
        yield Fault("/shot/core_diameter", "core-too-thick", detail, allowed)
    if shot.get("core_length", 0.0) >= most:
        allowed = {"maximum": round(0.9 * most, 2), "unit": "mm"}
        detail = f"A core of {shot['core_length']:g} mm does not lie in a trunk of {most:.4g} mm."
        yield Fault("/shot/core_length", "core-too-long", detail, allowed)
