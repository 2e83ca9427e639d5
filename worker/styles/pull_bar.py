"""The pull bar: a flat test bar, not a bait. Pulled until it parts, its gauge tells a plastic's strength.

Its plan is a narrow gauge between two wide grips. A maker pours it, clamps the grips and hangs weight on it: the pull
at which it parts over the area of the gauge is the strength that a plastic of one's own is told with.

Sizes by default are those of the type 1 bar of ISO 37 (die C of ASTM D412), from memory: 6 mm wide over 33 mm, grips of
25 mm, radii of 14 and 25 mm, 115 mm overall. It is poured and not cut from a sheet, so it is 5 mm thick.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.strands.waist import Waist
from worker.styles.declare import millimetres
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number

SECTION = Section(8.0, 8.0)
"""The squarest section that the open form takes, too: its area is 0.978 of the rectangle's around it."""
LEAST_GRIP = 1.5
"""Least width of the grips over that of the gauge: with less a bar parts in a clamp (judgement)."""
STEEPEST = 0.74
"""Greatest drop from grip to gauge over the two radii together: flanks of 75 degrees, 1 - cos 75 (judgement)."""

GAUGE_WIDTH = millimetres(
    "gauge_width",
    "Gauge width",
    "Width of the narrow part. Its corners are a little round: its area is 0.978 of width times thickness.",
    6.0,
    3.0,
    12.0,
)
GAUGE_LENGTH = millimetres("gauge_length", "Gauge length", "How long the narrow part is even.", 33.0, 15.0, 80.0, 0.5)
THICKNESS = millimetres("thickness", "Thickness", "The same all along.", 5.0, 3.0, 10.0)
GRIP_WIDTH = millimetres("grip_width", "Grip width", "Width of both ends, for the clamps.", 25.0, 10.0, 40.0, 0.5)
GRIP_LENGTH = millimetres(
    "grip_length", "Grip length", "How long each end is even, before it narrows.", 15.5, 8.0, 40.0, 0.5
)
FILLET_RADIUS = millimetres(
    "fillet_radius", "Fillet radius", "Radius of the hollow arcs beside the gauge.", 25.0, 5.0, 40.0, 0.5
)
SHOULDER_RADIUS = millimetres(
    "shoulder_radius", "Shoulder radius", "Radius of the round arcs beside the grips.", 14.0, 1.0, 25.0, 0.5
)


def _strands(params: Params) -> tuple[Strand, ...]:
    waist = Waist(*(number(params, each.name) for each in (GAUGE_WIDTH, GAUGE_LENGTH, FILLET_RADIUS, SHOULDER_RADIUS)))
    width, thickness = number(params, "grip_width"), number(params, "thickness")
    length = waist.length + 2 * (number(params, "grip_length") + waist.way(width))
    girth = Girth.oval((0.0, width, thickness), (1.0, width, thickness))
    return (Strand("trunk", "trunk", StraightPath(length), girth, waist, section=SECTION),)


def _faults(params: Params) -> Iterator[Fault]:
    gauge, grip = number(params, "gauge_width"), number(params, "grip_width")
    least = round(LEAST_GRIP * gauge, 9)
    if grip < least:
        detail = f"Grips of {grip:g} mm are hardly wider than a gauge of {gauge:g} mm; from {least:g} mm on they hold."
        yield Fault("/params/grip_width", "grips-too-narrow", detail, _from(least, GRIP_WIDTH.maximum))
    fillet, shoulder, drop = number(params, "fillet_radius"), number(params, "shoulder_radius"), (grip - gauge) / 2
    if drop > STEEPEST * (fillet + shoulder):
        least = math.ceil(1e4 * (drop / STEEPEST - shoulder)) / 1e4
        detail = (
            f"A fillet of {fillet:g} mm and a shoulder of {shoulder:g} mm do not reach from a gauge of {gauge:g} mm to "
            f"grips of {grip:g} mm; a fillet of {least:.4g} mm does."
        )
        yield Fault("/params/fillet_radius", "fillet-too-small", detail, _from(least, FILLET_RADIUS.maximum))


def _from(least: float, most: float) -> dict[str, float | str]:
    return {"minimum": least, "maximum": most, "unit": "mm"}


PULL_BAR = Style(
    name="pull_bar",
    title="Pull bar",
    summary=(
        "A test piece, not a bait: a flat bar with a narrow gauge between two wide grips. The pull at which it parts, "
        "over the area of its one joint, the gauge, is the plastic's strength."
    ),
    sentence=(
        "A {style}, {thickness} thick, with a gauge {gauge_width} wide and {gauge_length} long between grips "
        "{grip_width} wide"
    ),
    parameters=(GAUGE_WIDTH, GAUGE_LENGTH, THICKNESS, GRIP_WIDTH, GRIP_LENGTH, FILLET_RADIUS, SHOULDER_RADIUS),
    strands=_strands,
    infeasible=_faults,
    example={
        "style": "pull_bar",
        "label": "Weir pool bar",
        "params": {"gauge_width": "6 mm", "thickness": "5 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies={
        "joint_pull": (
            Remedy("thickness", up=True, text="a thickness of {value} mm"),
            Remedy("gauge_width", up=True, text="a gauge {value} mm wide"),
        ),
        "thin_feature": (
            Remedy(
                "thickness", up=True, text="a thickness of {value} mm and a gauge no narrower", along=("gauge_width",)
            ),
        ),
    },
)
