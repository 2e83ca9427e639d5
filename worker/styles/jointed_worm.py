"""The jointed worm: segments on a plain core that ties them together and lets them hinge."""

from __future__ import annotations

from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.beads import Beads, Core, Segment
from worker.strands.path import StraightPath
from worker.strands.strand import Strand
from worker.styles import worm_parameters as worm
from worker.styles.dress import with_dress
from worker.styles.dress_parameters import DRESS
from worker.styles.one_trunk import OneTrunk
from worker.styles.style import Params, Remedy, Style
from worker.styles.tail_parameters import TAIL
from worker.styles.tails import TAIL_REMEDIES
from worker.values.parameter import Parameter
from worker.values.told_bounds import at_most

THICKEST_CORE = 0.95
"""Greatest core over its bead: beyond, there is no joint left."""

CORE_DIAMETER = Parameter(
    "core_diameter",
    "length",
    "Core diameter",
    "Width of the plain strand through the middle, at the first bead; it tapers as the beads do.",
    default=6.0,
    minimum=1.5,
    maximum=19.0,
    step=0.1,
    unit="mm",
    figure="core_diameter",
)
CORE_HEIGHT_RATIO = Parameter(
    "core_height_ratio",
    "number",
    "Core height ratio",
    "Height of the core over its width: it bends most easily the way it is thin.",
    default=1.0,
    minimum=0.5,
    maximum=2.0,
    step=0.05,
    figure="core_height_ratio",
)
SEGMENT = Parameter(
    "segment",
    "choice",
    "Segment",
    "Shape of a segment: a ball, a barrel (level, round edges), or a cone (steep to the nose, sloping to the tail).",
    default="ball",
    choices=("ball", "barrel", "cone"),
    figure="segment",
)
_SEGMENTS: dict[str, Segment] = {"ball": "ball", "barrel": "barrel", "cone": "cone"}


def _beads(params: Params) -> Beads:
    width, core = worm.number(params, "bead_diameter"), worm.number(params, "core_diameter")
    return Beads(
        count=int(params["bead_count"]),
        length_ratio=worm.number(params, "bead_length_ratio"),
        height_ratio=worm.number(params, "bead_height_ratio"),
        blend=worm.number(params, "joint_blend"),
        segment=_SEGMENTS[str(params["segment"])],
        core=Core(core / width, core * worm.number(params, "core_height_ratio") / width),
    )


def _trunk(params: Params) -> Strand:
    """From the parameters as the trunk sees them."""
    path = StraightPath(worm.number(params, "length"))
    return Strand("trunk", "trunk", path, worm.bead_girth(params), _beads(params))


def _faults(params: Params) -> Iterator[Fault]:
    faults = [*worm.infeasible_beads(params), *_core_faults(params)]
    yield from faults or worm.hidden_beads(params, _beads(params))


def _core_faults(params: Params) -> Iterator[Fault]:
    width, core = worm.number(params, "bead_diameter"), worm.number(params, "core_diameter")
    height, ratio = width * worm.number(params, "bead_height_ratio"), worm.number(params, "core_height_ratio")
    if core > THICKEST_CORE * width + 1e-9:
        most = at_most(THICKEST_CORE * width)
        detail = f"A core of {core:g} mm does not go into beads of {width:g} mm; at most {most:g} mm does."
        yield Fault("/params/core_diameter", "core-too-thick", detail, {"minimum": 1.5, "maximum": most, "unit": "mm"})
    elif core * ratio > THICKEST_CORE * height + 1e-9:
        most = at_most(THICKEST_CORE * height / core)
        detail = (
            f"A core {core * ratio:g} mm high does not go into beads {height:g} mm high; "
            f"a core height ratio of at most {most:g} does."
        )
        yield Fault("/params/core_height_ratio", "core-too-high", detail, {"minimum": 0.5, "maximum": most})


_STRONGER = (
    Remedy("core_diameter", up=True, text="a {value} mm core"),
    Remedy("joint_blend", up=True, text="a {value} mm blend"),
    Remedy("bead_count", up=True, text="{value} beads"),
)

_WORM = OneTrunk(_trunk, _faults)

JOINTED_WORM = Style(
    name="jointed_worm",
    title="Jointed worm",
    summary="Balls, barrels or cones on a plain core that shows between them and hinges.",
    sentence="A {length} {style} of {bead_count} beads of {bead_diameter} on a {core_diameter} core",
    parameters=(
        worm.LENGTH,
        worm.BEAD_DIAMETER,
        worm.bead_count(10),
        CORE_DIAMETER,
        worm.JOINT_BLEND,
        SEGMENT,
        worm.BEAD_LENGTH_RATIO,
        worm.BEAD_HEIGHT_RATIO,
        CORE_HEIGHT_RATIO,
        worm.TAPER,
        *TAIL,
        *DRESS,
    ),
    strands=_WORM.strands,
    infeasible=_WORM.infeasible,
    hollows=_WORM.hollows,
    example={
        "style": "jointed_worm",
        "label": "Swing worm",
        "params": {
            "length": "4-1/2 in",
            "bead_diameter": "8.5 mm",
            "bead_count": 11,
            "core_diameter": "5.5 mm",
        },
        "plastic": {"grade": "soft", "salt_wt_pct": 10},
    },
    remedies=with_dress(
        {"joint_pull": _STRONGER, "single_piece": _STRONGER, "thin_feature": _STRONGER, **TAIL_REMEDIES}
    ),
)
