"""Tails that part: a blade that carries two lobes. A fork's sweep apart to points, a split tail's run side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.placing import Place
from worker.styles.tail_blades import Blade, straight_path

FLATTER = 0.97
"""Thickness of a lobe over the blade's at the same place, so that neither face lies in the other (judgement)."""


@dataclass(frozen=True)
class Parting:
    """How a blade parts; shares of its length and of its width (judgement).

    `palm`: where the blade itself ends; `from_` where the lobes begin inside of it and how far beside its middle;
    `widths`: share of a lobe's length with its width over the whole tail's; `end`: its rounded tip over the width;
    `sweep`: degrees by which a lobe leaves further out than it lies, and ends further in.
    """

    palm: float
    palm_width: float
    begin: float
    aside: float
    widths: tuple[tuple[float, float], ...]
    end: float
    sweep: float


FORK = Parting(
    palm=0.46,
    palm_width=0.5,
    begin=0.2,
    aside=0.06,
    widths=((0.0, 0.2), (0.3, 0.34), (0.6, 0.3), (1.0, 0.14)),
    end=0.12,
    sweep=10.0,
)
SPLIT = Parting(
    palm=0.42,
    palm_width=0.86,
    begin=0.22,
    aside=0.2,
    widths=((0.0, 0.3), (0.25, 0.42), (0.7, 0.42), (1.0, 0.36)),
    end=0.2,
    sweep=0.0,
)


def parted(
    name: str, place: Place, depth: float, blade: Blade, parting: Parting, sides: tuple[str, str]
) -> tuple[Strand, Strand, Strand]:
    """The blade and its two lobes, to the left of the place and to its right, named by `sides`.

    Over both lobes the tail is as wide as `blade` says, and it ends at its length.
    """
    palm_length = parting.palm * blade.length
    whole = depth + palm_length
    broad = max(parting.palm_width * blade.width, blade.wrist)
    thick = blade.thickness(parting.palm)
    girth = Girth.oval(
        (0.0, blade.wrist, blade.root_thickness),
        (depth / whole, blade.wrist, blade.root_thickness),
        ((depth + 0.65 * palm_length) / whole, broad, blade.thickness(0.65 * parting.palm)),
        (1.0, 0.9 * broad, thick),
    )
    end = min(0.3 * blade.width, 0.3 * palm_length)
    palm = Strand(name, "tail", straight_path(place, depth, palm_length), girth, Plain((0.0, end)))
    lobes = [
        _lobe(f"{name} {word} lobe", place, blade, parting, side) for word, side in zip(sides, (1.0, -1.0), strict=True)
    ]
    return palm, lobes[0], lobes[1]


def _lobe(name: str, place: Place, blade: Blade, parting: Parting, side: float) -> Strand:
    begin, tip = parting.begin * blade.length, blade.length
    first = parting.aside * blade.width
    # The outer edge of the tip, less its round, lies at half the tail's width.
    last = max(blade.width / 2 * (1 - parting.widths[-1][1]), first)
    run, out = tip - begin, last - first
    base = math.degrees(math.atan2(out, run))
    leave, arrive = (place.turned(side * (base + turn)).ahead for turn in (parting.sweep, -parting.sweep))
    apart = math.hypot(run, out)
    knots = (
        Knot(place.at(begin, side * first), leave, 0.0, apart),
        Knot(place.at(tip, side * last), arrive, apart, 0.0),
    )
    path = HermitePath(knots, place.left)
    stations = []
    for at, share in parting.widths:
        along = parting.begin + at * (1 - parting.begin)
        stations.append((at, max(share * blade.width, blade.thickness(along)), FLATTER * blade.thickness(along)))
    return Strand(name, "tail", path, Girth.oval(*stations), Plain((0.0, parting.end * blade.width)))
