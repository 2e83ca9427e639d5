"""The tube: a round nose, a hollow body, and a rear cut into tentacles. What is inside and every cut are hollows."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.ligament import Ligament
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.strands.taken import Taken
from worker.styles.declare import millimetres, share, whole
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number

LEAST_TENTACLE = 0.8
"""Least thickness of a tentacle, mm: thinner ones do not fill (judgement)."""
LEAST_BORE = 2.0
"""Least width of the inside, mm: a core pin thinner than this bends (judgement)."""
LEAST_RING = 3.0
"""Least length of hollow body ahead of the tentacles, mm (judgement)."""
PAST = 1.0
"""How far hollows reach past the tail end, mm, so that none ends in its plane."""
REACH = 1.0
"""How far a cut reaches to each side of the middle of the wall, over the wall: twice as far as the wall does."""
ROOT = 0.3
"""How much of a cut its rounded root leaves standing, as a length over half its width: about 1 - pi / 4, and a little
for the wall's corners."""
CUT = Section(6.0, 6.0)
"""Sides of a cut within the wall are flat to a four-hundredth of its width."""

LENGTH = millimetres("length", "Length", "Overall, as moulded.", 90.0, 40.0, 150.0, 1.0)
OUTER = millimetres("outer", "Outer diameter", "Of the whole tube.", 14.0, 7.0, 30.0)
WALL = millimetres("wall", "Wall", "Thickness of the hollow body's wall.", 1.8, 1.2, 3.5)
SOLID_HEAD = share(
    "solid_head", "Solid head", "Share of the length that is solid, from the nose.", 15.0, 5.0, 40.0, 1.0, "%"
)
TENTACLES = whole("tentacles", "Tentacles", "Tentacles that the rear is cut into.", 24, 40, 12)
TENTACLE_SHARE = share(
    "tentacle_length", "Tentacle length", "Share of the length that is cut, from the tail.", 45.0, 10.0, 70.0, 1.0, "%"
)
CUT_WIDTH = millimetres("cut_width", "Cut width", "Gap between two tentacles.", 0.4, 0.2, 1.0, 0.05)


def tentacle_thickness(params: Params) -> float:
    """Diameter, mm, of the largest ball that goes through a tentacle.

    Between two flat sides half the cut off the radii, and the outer wall: q = r sin(pi / n) - cut / 2, q = R - r.
    """
    sine = _sine(params)
    return min(
        number(params, "wall"), 2 * (number(params, "outer") / 2 * sine - number(params, "cut_width") / 2) / (1 + sine)
    )


def tentacle_area(params: Params) -> float:
    """Section of one tentacle, mm2: its share of the wall less one cut through it."""
    outer, inner = _radii(params)
    cut = _strip(outer, number(params, "cut_width") / 2) - _strip(inner, number(params, "cut_width") / 2)
    return math.pi * (outer * outer - inner * inner) / int(params["tentacles"]) - cut


def _strip(radius: float, half: float) -> float:
    """What a strip, `half` to each side of the middle, takes out of a disk on one side of its middle; mm2."""
    return half * math.sqrt(radius * radius - half * half) + radius * radius * math.asin(half / radius)


def _radii(params: Params) -> tuple[float, float]:
    """Outer and inner radius, mm."""
    outer = number(params, "outer") / 2
    return outer, outer - number(params, "wall")


def _sine(params: Params) -> float:
    return math.sin(math.pi / int(params["tentacles"]))


def _head(params: Params) -> float:
    return number(params, "solid_head") / 100 * number(params, "length")


def _cut_from(params: Params) -> float:
    return (1 - number(params, "tentacle_length") / 100) * number(params, "length")


def _strands(params: Params) -> tuple[Strand, ...]:
    length, outer = number(params, "length"), number(params, "outer")
    path = StraightPath(length)
    return (Strand("trunk", "trunk", path, Girth.circular((0.0, outer), (1.0, outer)), Plain((outer / 2, 0.0))),)


def _hollows(params: Params) -> tuple[Strand, ...]:
    length, bore = number(params, "length"), number(params, "outer") - 2 * number(params, "wall")
    head = _head(params)
    path = StraightPath(length - head + PAST, (head, 0.0, 0.0))
    inside = Strand("inside", "inside", path, Girth.circular((0.0, bore), (1.0, bore)), Plain((bore / 2, 0.0)))
    return (inside, *(_cut(params, place) for place in range(int(params["tentacles"]))))


def _cut(params: Params, place: int) -> Strand:
    """One cut, through the wall on one side; the first lies half a tentacle to the left of the back."""
    turn = 2 * math.pi * (place + 0.5) / int(params["tentacles"])
    aside, upward = (round(each, 9) + 0.0 for each in (math.sin(turn), math.cos(turn)))
    wall, width = number(params, "wall"), number(params, "cut_width")
    middle, begin = (number(params, "outer") - wall) / 2, _cut_from(params)
    path = StraightPath(
        number(params, "length") - begin + PAST,
        (begin, middle * aside, middle * upward),
        (1.0, 0.0, 0.0),
        (0.0, upward, -aside),
    )
    height = 2 * REACH * wall
    girth = Girth.oval((0.0, width, height), (1.0, width, height))
    return Strand(f"cut {place + 1}", "cut", path, girth, Plain((width / 2, 0.0)), section=CUT)


def _taken(params: Params) -> Taken:
    """The inside, a rod with a round end, and the cuts, flat strips of the wall; their rounded roots leave a little."""
    outer, inner = _radii(params)
    count, half = int(params["tentacles"]), number(params, "cut_width") / 2
    inside = number(params, "length") - _head(params) - inner
    cut = number(params, "tentacle_length") / 100 * number(params, "length") - ROOT * half
    strip = _strip(outer, half) - _strip(inner, half)
    side = math.sqrt(outer * outer - half * half) - math.sqrt(inner * inner - half * half)
    opened = 2 * outer * math.asin(half / outer) + 2 * inner * math.asin(half / inner)
    return Taken(
        frozenset({"inside", *(f"cut {place + 1}" for place in range(count))}),
        math.pi * inner * inner * (inside + 2 / 3 * inner) + count * strip * cut,
        # The rear's disk is lost to the inside, and to the cuts as much as their roots' faces give.
        2 * math.pi * inner * (inside + inner) - math.pi * inner * inner + count * cut * (2 * side - opened),
    )


def _ligaments(params: Params) -> tuple[Ligament, ...]:
    """The wall ahead of the tentacles, and one tentacle; the end of a cut is round."""
    wall, begin = number(params, "wall"), _cut_from(params)
    outer, inner = _radii(params)
    around, across = math.pi * (outer * outer - inner * inner), tentacle_thickness(params)
    return (
        Ligament(
            "wall", "trunk", begin, around, wall, math.pi * outer * outer, inner, f"The wall of {wall:.3g} mm holds"
        ),
        Ligament(
            "tentacle",
            "tentacle",
            begin,
            tentacle_area(params),
            across,
            around / int(params["tentacles"]),
            number(params, "cut_width") / 2,
            f"A tentacle of {across:.3g} mm holds",
        ),
    )


def _infeasible(params: Params) -> Iterator[Fault]:
    outer, wall, length = (number(params, name) for name in ("outer", "wall", "length"))
    widest = round((outer - LEAST_BORE) / 2, 4)
    if wall > widest + 1e-9:
        detail = f"A wall of {wall:g} mm leaves {outer - 2 * wall:.3g} mm inside of {outer:g} mm; {widest:g} mm does."
        yield Fault("/params/wall", "wall-too-thick", detail, {"minimum": 1.2, "maximum": widest, "unit": "mm"})
        return
    # The cuts reach half a wall into the hollow: they must not meet the other side's.
    ring = _cut_from(params) - _head(params) - (outer / 2 - wall)
    if ring < LEAST_RING - 1e-9:
        most = math.floor(number(params, "tentacle_length") - 100 * (LEAST_RING - ring) / length + 1e-9)
        detail = (
            f"Tentacles over {number(params, 'tentacle_length'):g} % leave no whole wall behind a solid head of "
            f"{number(params, 'solid_head'):g} %; {'less of either' if most < 10 else f'{most} %'} does."
        )
        yield Fault(
            "/params/tentacle_length",
            "no-wall",
            detail,
            {"minimum": 10.0, "maximum": most, "unit": "%"} if most >= 10 else None,
        )
    thickness = tentacle_thickness(params)
    if thickness < LEAST_TENTACLE - 1e-9:
        counts = (n for n in range(int(params["tentacles"]) - 1, 11, -1))
        fewer = next((n for n in counts if tentacle_thickness({**params, "tentacles": n}) >= LEAST_TENTACLE), None)
        detail = (
            f"{int(params['tentacles'])} tentacles would be {thickness:.3g} mm thick, under {LEAST_TENTACLE:g} mm; "
        )
        detail += "take narrower cuts or a wider tube." if fewer is None else f"{fewer} are thick enough."
        yield Fault(
            "/params/tentacles" if fewer else "/params/cut_width",
            "tentacles-too-thin",
            detail,
            {"minimum": 12, "maximum": fewer, "whole": True} if fewer else None,
        )


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
    parameters=(LENGTH, OUTER, WALL, SOLID_HEAD, TENTACLES, TENTACLE_SHARE, CUT_WIDTH),
    strands=_strands,
    hollows=_hollows,
    ligaments=_ligaments,
    taken=_taken,
    infeasible=_infeasible,
    example={
        "style": "tube",
        "label": "Weir tube",
        "params": {"length": "3-1/2 in", "outer": "14 mm", "tentacles": 24},
        "plastic": {"grade": "soft", "salt_wt_pct": 10},
    },
    remedies={"joint_pull": _THICKER, "thin_feature": _THICKER},
)
