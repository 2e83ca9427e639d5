"""The leech: a flat body, widest ahead of its middle, thick along the middle and thin at its edges.

One strand: its section is a superellipse, and the thickness asked of its edge says which (see leech_edge).
"""

from __future__ import annotations

import numpy as np

from worker.errors import Fault
from worker.strands.attach import attach
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.section import Section
from worker.strands.strand import Strand
from worker.styles.dress import with_dress
from worker.styles.leech_body import SUNK, girth_of, halves_of, path_of, relief_of, sucker_of
from worker.styles.leech_edge import exponent_of
from worker.styles.leech_feasible import faults
from worker.styles.leech_parameters import EVERY
from worker.styles.one_trunk import OneTrunk
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number

SUCKER_THICKNESS = 0.4
"""Thickness of a sucker over its diameter (judgement)."""
ROUND = 0.49
"""Length of each rounded half of a sucker over its diameter; a hair is left between them."""


def _trunk(params: Params) -> Strand:
    path, exponent = path_of(params), exponent_of(halves_of(params), number(params, "edge"))
    if exponent is None:
        raise ValueError("no section of this body has so thick an edge")  # refused before by leech_feasible
    relief = relief_of(params, path.length)
    return Strand("trunk", "trunk", path, girth_of(params), relief, section=Section(exponent, exponent))


def _limbs(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    """The sucker, if there is one."""
    return (attach(_sucker_strand(params, trunk), trunk, 0.5),) if sucker_of(params) > 0 else ()


def _no_faults(params: Params, trunk: Strand, limbs: tuple[Strand, ...]) -> tuple[Fault, ...]:
    """A sucker that stands on its tail has none of its own."""
    return ()


def _sucker_strand(params: Params, trunk: Strand) -> Strand:
    """A round button, level, sunk into the tail end."""
    size, depth = sucker_of(params), SUNK * sucker_of(params)
    points, _, _ = trunk.path.frames(np.array([trunk.path.length]))
    x, y, z = points[0].tolist()
    thick = max(SUCKER_THICKNESS * size, number(params, "tail_thickness"))
    girth = Girth.oval((0.0, size, thick), (1.0, size, thick))
    path, section = StraightPath(size, (x - depth, y, z)), Section(floor=trunk.section.floor)
    return Strand("sucker", "tail", path, girth, Plain((ROUND * size, ROUND * size)), section=section)


_MADE = OneTrunk(_trunk, faults, _limbs, _no_faults, root="sucker", behind=True)
_STRONGER = (
    Remedy("rib_depth", up=False, text="ribs {value} mm deep"),
    Remedy("thickness", up=True, text="a thickness of {value} mm"),
    Remedy("width", up=True, text="a width of {value} mm"),
)
_TAIL = (
    Remedy("tail_thickness", up=True, text="a tail {value} mm thick"),
    Remedy("tail_width", up=True, text="a tail {value} mm wide"),
)

LEECH = Style(
    name="leech",
    title="Leech",
    summary="A flat leaf of a body, its edges thin, with shallow cross ribs; straight or waved, perhaps with a sucker.",
    sentence=(
        "A {length} {style}, {width} wide, {thickness} thick in the middle and {edge} at its edges, with "
        "ribs {rib_depth} deep"
    ),
    parameters=EVERY,
    strands=_MADE.strands,
    hollows=_MADE.hollows,
    infeasible=_MADE.infeasible,
    example={
        "style": "leech",
        "label": "Backwater leech",
        "params": {"length": "3-1/2 in", "width": "14 mm", "sucker": "8 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies=with_dress(
        {
            "joint_pull": _STRONGER,
            "joint_pull of tail": _TAIL,
            "thin_feature": (*_TAIL, *_STRONGER),
            "thin_feature of tail": _TAIL,
        },
        EVERY,
    ),
)
