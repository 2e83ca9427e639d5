"""How much plastic of each colour a bait takes: shares of its volume, by which its mass goes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scipy.optimize import brentq

from worker.errors import Fault
from worker.measures.hook.along import trunk_length
from worker.measures.strand.thickest import thickest_of
from worker.strands.strand import Strand

CORE_SHARE_OF_LENGTH = 0.7
"""Of the trunk's length, a core's where none is told (judgement)."""
MOST_OF_LENGTH, MOST_ACROSS, MOST_OF_VOLUME = 0.9, 0.8, 0.8
"""Of trunk, thickest section and bait: what a core leaves is the skin all round it (judgement)."""


@dataclass(frozen=True, slots=True)
class Coloured:
    """One colour of a bait: where it lies, what it is called, `#rrggbb`, and its share of the volume."""

    place: str
    name: str
    colour: str
    share: float


def colours_of(shot: Mapping[str, Any], finish: str, trunk: float, volume: float) -> tuple[Coloured, ...]:
    """The colours of a bait of `volume` mm3 with a trunk of `trunk` mm, the back's or skin's first; shares make 1."""
    asked, method = shot["colours"], shot["method"]
    if method == "laminate":
        given = [each.get("share_pct") for each in asked]
        left = (100 - sum(each for each in given if each is not None)) / max(given.count(None), 1)
        shares = [(left if each is None else each) / 100 for each in given]
        places = [*("back", "middle", "lower middle")[: len(asked) - 1], "belly"]
    elif method == "core_shot":
        core = core_volume(shot, trunk) / volume
        shares, places = [1 - core, core], ["skin", "core"]
    else:
        shares, places = [1.0], ["all"]
    told = [*asked, *({} for _ in range(len(shares) - len(asked)))]
    return tuple(
        Coloured(place, each.get("name", place if len(shares) > 1 else "colour"), each.get("colour", finish), share)
        for place, each, share in zip(places, told, shares, strict=True)
    )


def core_length(shot: Mapping[str, Any], trunk: float) -> float:
    """mm that a core runs along the middle of a trunk of `trunk` mm, round ends and all; no shorter than a ball."""
    return max(float(shot.get("core_length", CORE_SHARE_OF_LENGTH * trunk)), float(shot["core_diameter"]))


def core_volume(shot: Mapping[str, Any], trunk: float) -> float:
    """mm3 of a round core with round ends."""
    return capsule(float(shot["core_diameter"]), core_length(shot, trunk))


def capsule(diameter: float, along: float) -> float:
    """mm3 of a rod with round ends, `along` mm in all: pi d^2 / 4 (l - d / 3)."""
    return math.pi / 4 * diameter * diameter * (along - diameter / 3)


def core_faults(
    shot: Mapping[str, Any] | None, trunk: tuple[Strand, ...], hollows: Sequence[Strand], volume: Callable[[], float]
) -> Iterator[Fault]:
    """A core that does not lie in the trunk with a skin round it, or that would lie in a hollow.

    `volume`: gives the bait's, mm3, once its hollows are taken out; asked only where there is a core.
    """
    if shot is None or shot["method"] != "core_shot":
        return
    if any(hollow.kind == "inside" for hollow in hollows):
        detail = "A bait that is hollow inside has no middle for a core to lie in."
        yield Fault("/shot/method", "nothing-to-lie-in", detail, {"choices": ["single", "laminate"]})
        return
    diameter, length = float(shot["core_diameter"]), core_length(shot, trunk_length(trunk))
    across, longest = thickest_of(trunk, ()).least, MOST_OF_LENGTH * trunk_length(trunk)
    if length > longest and "core_length" in shot:
        detail = (
            f"A core of {length:g} mm does not lie in a trunk of {trunk_length(trunk):.4g} mm with skin at its ends."
        )
        yield Fault("/shot/core_length", "core-too-long", detail, {"maximum": _floored(longest), "unit": "mm"})
    length, most = min(length, longest), min(MOST_ACROSS * across, longest)
    # A trunk that tapers holds less than its thickest section makes one think.
    whole = volume()
    if capsule(most, max(length, most)) >= MOST_OF_VOLUME * whole:
        most = float(brentq(lambda each: capsule(each, max(length, each)) - MOST_OF_VOLUME * whole, 0.0, most))
    if diameter > MOST_ACROSS * across:
        detail = f"A core of {diameter:g} mm leaves too little skin on a trunk of {across:.3g} mm."
    else:
        share = 100 * capsule(diameter, max(length, diameter)) / whole
        detail = f"A core of {diameter:g} mm, {length:.4g} mm long, would be {share:.0f} % of the bait's volume."
    if diameter > most:
        yield Fault("/shot/core_diameter", "core-too-thick", detail, {"maximum": _floored(most), "unit": "mm"})


def _floored(most: float) -> float:
    return math.floor(100 * most) / 100
