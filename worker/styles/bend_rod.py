"""The bend rod: a straight round test rod, not a bait. Its own weight, bending it over an edge, tells its modulus.

It is laid flat on a table with a ruler over it and pushed out over the edge until the line from the edge to its tip
falls 41.5 degrees. Half of what then hangs out is its bending length c (Peirce's cantilever, as in ASTM D1388, from
memory), and of a rod of density rho and diameter d the modulus is 16 rho g c^3 / d^2. An answer tells the c that its
plastic lets expect as `bending_length_mm`.
"""

from __future__ import annotations

from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.styles.declare import millimetres
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number

SLENDER = 8.0
"""Least length over diameter: of less nothing hangs far enough to be measured (judgement)."""

HELD = 2.0
"""Diameters of the rod's length that have to lie on the table, under the ruler (judgement)."""

DIAMETER = millimetres("diameter", "Diameter", "The same from end to end.", 8.0, 6.0, 12.0)
LENGTH = millimetres("length", "Length", "From one flat end to the other.", 120.0, 60.0, 150.0, 1.0)


def _strands(params: Params) -> tuple[Strand, ...]:
    diameter = number(params, "diameter")
    girth = Girth.circular((0.0, diameter), (1.0, diameter))
    return (Strand("trunk", "trunk", StraightPath(number(params, "length")), girth, Plain((0.0, 0.0))),)


def _faults(params: Params) -> Iterator[Fault]:
    diameter, length = number(params, "diameter"), number(params, "length")
    least = round(SLENDER * diameter, 4)
    if length < least:
        detail = (
            f"A rod {diameter:g} mm thick and {length:g} mm long is too stout to bend; from {least:g} mm on it does."
        )
        yield Fault("/params/length", "rod-too-stout", detail, {"minimum": least, "maximum": 150.0, "unit": "mm"})


_STOUTER = (Remedy("diameter", up=True, text="a diameter of {value} mm"),)

BEND_ROD = Style(
    name="bend_rod",
    title="Bend rod",
    summary=(
        "A test piece, not a bait: a straight round rod with flat ends. Pushed out over an edge until its tip hangs "
        "41.5 degrees below it, half of what hangs out is its bending length, which tells the plastic's modulus."
    ),
    sentence="A {style}, {length} long and {diameter} thick",
    parameters=(DIAMETER, LENGTH),
    strands=_strands,
    infeasible=_faults,
    example={
        "style": "bend_rod",
        "label": "Weir pool rod",
        "params": {"diameter": "8 mm", "length": "120 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies={"joint_pull": _STOUTER, "thin_feature": _STOUTER},
)
