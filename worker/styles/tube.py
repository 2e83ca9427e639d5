"""The tube: a round nose, a hollow body, and a rear cut into tentacles. What is inside and every cut are hollows."""

from __future__ import annotations

import math

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.styles.one_trunk import OneTrunk
from worker.styles.style import Params, Remedy, Style
from worker.styles.tube_feasible import faults
from worker.styles.tube_measures import cut_from, ligaments, solid_length, taken
from worker.styles.tube_parameters import EVERY
from worker.styles.worm_parameters import number

PAST = 1.0
"""How far hollows reach past the tail end, mm, so that none ends in its plane."""
REACH = 1.0
"""How far a cut reaches to each side of the middle of the wall, over the wall: twice as far as the wall does."""
CUT = Section(6.0, 6.0)
"""Sides of a cut within the wall are flat to a four-hundredth of its width."""


def _trunk(params: Params) -> Strand:
    path, outer = StraightPath(number(params, "length")), number(params, "outer")
    return Strand("trunk", "trunk", path, Girth.circular((0.0, outer), (1.0, outer)), Plain((outer / 2, 0.0)))


def _hollows(params: Params) -> tuple[Strand, ...]:
    """The inside, the cuts, and what the dress takes out of the head."""
    return (*_own_hollows(params), *_MADE.hollows(params))


def _own_hollows(params: Params) -> tuple[Strand, ...]:
    length, bore = number(params, "length"), number(params, "outer") - 2 * number(params, "wall")
    head = solid_length(params)
    path = StraightPath(length - head + PAST, (head, 0.0, 0.0))
    inside = Strand("inside", "inside", path, Girth.circular((0.0, bore), (1.0, bore)), Plain((bore / 2, 0.0)))
    return (inside, *(_cut(params, place) for place in range(int(params["tentacles"]))))


def _cut(params: Params, place: int) -> Strand:
    """One cut, through the wall on one side; the first lies half a tentacle to the left of the back."""
    turn = 2 * math.pi * (place + 0.5) / int(params["tentacles"])
    aside, upward = (round(each, 9) + 0.0 for each in (math.sin(turn), math.cos(turn)))
    wall, width = number(params, "wall"), number(params, "cut_width")
    middle, begin = (number(params, "outer") - wall) / 2, cut_from(params)
    path = StraightPath(
        number(params, "length") - begin + PAST,
        (begin, middle * aside, middle * upward),
        (1.0, 0.0, 0.0),
        (0.0, upward, -aside),
    )
    height = 2 * REACH * wall
    girth = Girth.oval((0.0, width, height), (1.0, width, height))
    return Strand(f"cut {place + 1}", "cut", path, girth, Plain((width / 2, 0.0)), section=CUT)


_MADE = OneTrunk(_trunk, faults)
_THICKER = (
    Remedy("tentacles", up=False, text="{value} tentacles"),
    Remedy("cut_width", up=False, text="cuts of {value} mm"),
    Remedy("outer", up=True, text="a tube of {value} mm"),
    Remedy("wall", up=True, text="a wall of {value} mm"),
)

TUBE = Style(
    name="tube",
    title="Tube",
    summary="A hollow tube with a round solid head, its rear cut into tentacles.",
    sentence=(
        "A {length} {style} of {outer} with a wall of {wall}, cut into {tentacles} tentacles over "
        "{tentacle_length} of its length"
    ),
    parameters=EVERY,
    strands=_MADE.strands,
    hollows=_hollows,
    ligaments=ligaments,
    taken=taken,
    infeasible=_MADE.infeasible,
    example={
        "style": "tube",
        "label": "Weir tube",
        "params": {"length": "3-1/2 in", "outer": "14 mm", "tentacles": 24},
        "plastic": {"grade": "soft", "salt_wt_pct": 10},
    },
    remedies={"joint_pull": _THICKER, "thin_feature": _THICKER},
)
