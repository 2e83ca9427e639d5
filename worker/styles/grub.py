"""The grub: a short ribbed body with a flat head, and one or two wide tails that curl.

`length` is the overall length, as moulded with the tail curled or with the tail laid straight, as `length_is` says; the
body's is `body_length`. The tail takes up the rest, so its own length follows: laid straight it is what is left, as
moulded the curl of one shape that reaches as far.
"""

from __future__ import annotations

import math

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.ribs import Ribs
from worker.strands.strand import Strand
from worker.styles.dress import with_dress
from worker.styles.grub_feasible import faults, limb_faults
from worker.styles.grub_parameters import EVERY
from worker.styles.grub_tail import tail_length, tail_of
from worker.styles.one_trunk import OneTrunk
from worker.styles.style import Params, Remedy, Style
from worker.styles.tails import TAIL_REMEDIES, strands_of
from worker.styles.worm_parameters import number

RIBS_FROM, RIBS_TO = 0.2, 0.9
"""Stretch of the body that carries ribs, over its length (judgement)."""
LAND, WIDEST_LAND = 0.4, 1.2
"""Land of a rib over the pitch, and the greatest, mm (judgement)."""
EDGE = 0.3
"""Greatest radius of a rib's edges, mm (judgement)."""
HEAD, WIDEST_AT, HEAD_END = 0.9, 0.22, 0.4
"""Diameter of the head over the greatest, where that is over the body's length, and how far the head's edge is rounded
over the diameter (judgement)."""


def _trunk(params: Params) -> Strand:
    length, width, taper = (number(params, name) for name in ("body_length", "diameter", "taper"))
    girth = Girth.circular((0.0, HEAD * width), (WIDEST_AT, width), (1.0, taper * width))
    ends = HEAD_END * width, 0.4 * taper * width
    pitch, depth = number(params, "rib_pitch"), number(params, "rib_depth")
    relief: Ribs | Plain = Plain(ends)
    count = math.floor((RIBS_TO - RIBS_FROM) * length / pitch + 1e-9)
    if depth > 0 and count > 0:
        land = min(LAND * pitch, WIDEST_LAND)
        edge = min(EDGE, land / 2, (pitch - land) / 3)
        relief = Ribs(count, pitch, depth, land, edge, RIBS_FROM * length + land, ends)
    return Strand("trunk", "trunk", StraightPath(length), girth, relief)


def _limbs(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    return strands_of(tail_of(params, tail_length(params)), trunk)


_MADE = OneTrunk(_trunk, faults, _limbs, limb_faults, root="taper", behind=True)
_STRONGER = (
    Remedy("rib_depth", up=False, text="ribs {value} mm deep"),
    Remedy("diameter", up=True, text="a diameter of {value} mm"),
    Remedy("taper", up=True, text="a taper of {value}"),
)

GRUB = Style(
    name="grub",
    title="Grub",
    summary="A short ribbed body with a flat head, and one wide tail that curls upright or two that curl apart.",
    sentence=(
        "A {length} {style}, its body {body_length} long and {diameter} thick, with {tail_count} tail(s) "
        "{tail_width} wide"
    ),
    parameters=EVERY,
    strands=_MADE.strands,
    hollows=_MADE.hollows,
    infeasible=_MADE.infeasible,
    example={
        "style": "grub",
        "label": "Tailwater grub",
        "params": {"length": "3-1/4 in", "length_is": "laid_straight", "body_length": "40 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies=with_dress({"joint_pull": _STRONGER, "thin_feature": _STRONGER, **TAIL_REMEDIES}),
)
