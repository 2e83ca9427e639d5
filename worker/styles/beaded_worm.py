"""The beaded worm: a row of beads that hold on to each other by their overlap and the blend between them."""

from __future__ import annotations

from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.beads import Beads
from worker.strands.path import StraightPath
from worker.strands.strand import Strand
from worker.styles import worm_parameters as worm
from worker.styles.dress import with_dress
from worker.styles.dress_parameters import DRESS
from worker.styles.one_trunk import OneTrunk
from worker.styles.style import Params, Remedy, Style
from worker.styles.tail_parameters import TAIL
from worker.styles.tails import TAIL_REMEDIES


def _beads(params: Params) -> Beads:
    return Beads(
        count=int(params["bead_count"]),
        length_ratio=worm.number(params, "bead_length_ratio"),
        height_ratio=worm.number(params, "bead_height_ratio"),
        blend=worm.number(params, "joint_blend"),
    )


def _trunk(params: Params) -> Strand:
    """From the parameters as the trunk sees them."""
    path = StraightPath(worm.number(params, "length"))
    return Strand("trunk", "trunk", path, worm.bead_girth(params), _beads(params))


def _faults(params: Params) -> Iterator[Fault]:
    faults = list(worm.infeasible_beads(params))
    yield from faults or worm.hidden_beads(params, _beads(params))


_TIGHTER = (
    Remedy("bead_count", up=True, text="{value} beads"),
    Remedy("joint_blend", up=True, text="a {value} mm blend"),
    Remedy("bead_diameter", up=True, text="beads of {value} mm"),
)

_WORM = OneTrunk(_trunk, _faults)

BEADED_WORM = Style(
    name="beaded_worm",
    title="Beaded worm",
    summary="A row of round beads that overlap; the crease between two is filled by a blend.",
    sentence="A {length} {style} of {bead_count} beads of {bead_diameter}, a blend of {joint_blend} in each joint",
    parameters=(
        worm.LENGTH,
        worm.BEAD_DIAMETER,
        worm.bead_count(18),
        worm.JOINT_BLEND,
        worm.BEAD_LENGTH_RATIO,
        worm.BEAD_HEIGHT_RATIO,
        worm.TAPER,
        *TAIL,
        *DRESS,
    ),
    strands=_WORM.strands,
    infeasible=_WORM.infeasible,
    hollows=_WORM.hollows,
    example={
        "style": "beaded_worm",
        "label": "Finesse worm",
        "params": {"length": "5 in", "bead_diameter": "9 mm", "bead_count": 18, "joint_blend": "0.8 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies=with_dress(
        {
            "joint_pull": _TIGHTER,
            "single_piece": _TIGHTER,
            "overlap": _TIGHTER[:1],
            "thin_feature": _TIGHTER,
            **TAIL_REMEDIES,
        }
    ),
)
