"""What one test piece tells of the plastic that it was poured of, by the formulas that the measures of baits use."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from worker.measures.trial.droop import load_that_drops
from worker.measures.water.drag import GRAVITY

Piece = Mapping[str, Any]
"""In normal form: its `kind`, lengths in mm, N, g and ml."""

FIGURE_OF: Mapping[str, str] = {
    "pull": "strength",
    "overhang": "modulus",
    "droop": "modulus",
    "density": "density",
    "shrinkage": "shrinkage",
}
"""Which figure of the plastic each kind of piece tells."""
DONE: Mapping[str, str] = {
    "pull": "pulled apart",
    "overhang": "pushed over an edge",
    "droop": "held level by one end",
    "density": "weighed",
    "shrinkage": "laid beside the mould",
}
"""What was done with a kind of piece, in words."""


def figure_of(piece: Piece, density: float) -> float:
    """The figure that one piece tells, in its unit; a rod's stiffness by the plastic's `density`, g/cm3."""
    return _FIGURES[str(piece["kind"])](piece, density)


def _strength(piece: Piece, density: float) -> float:
    """MPa, nominal as the joints' is: the force at which it parts over the unstretched area of its gauge."""
    if "gauge_diameter" in piece:
        area = math.pi / 4 * float(piece["gauge_diameter"]) ** 2
    else:
        area = float(piece["gauge_width"]) * float(piece["gauge_thickness"])
    return float(piece["break_force_n"]) / area


def _overhung(piece: Piece, density: float) -> float:
    """MPa: E = w c^3 / I of a round rod, c half of what overhangs an edge where the line to its tip falls 41.5 degrees.

    Peirce, The handle of cloth as a measurable quantity, Journal of the Textile Institute 21 (1930); ISO 9073-7 and
    ASTM D1388 use the angle. See `bending.bending_length`: of an even rod that is (EI / w)^(1/3).
    """
    return _weight_over_moment(piece, density) * (float(piece["overhang"]) / 2) ** 3


def _drooped(piece: Piece, density: float) -> float:
    """MPa: E = w L^3 / I over what the elastica tells of a fall like this one."""
    length = float(piece["length"])
    return _weight_over_moment(piece, density) * length**3 / load_that_drops(float(piece["drop"]) / length)


def _weight_over_moment(piece: Piece, density: float) -> float:
    """w / I, N/mm over mm4, with w = rho g pi d^2 / 4 and I = pi d^4 / 64."""
    # g/cm3 times m/s2 are 1e-6 N/mm3.
    return 16 * density * GRAVITY / 1e6 / float(piece["diameter"]) ** 2


def _density(piece: Piece, density: float) -> float:
    """g/cm3."""
    return float(piece["mass_g"]) / float(piece["volume_ml"])


def _shrinkage(piece: Piece, density: float) -> float:
    """Per cent of the mould's length that the piece has lost when it is cold."""
    return 100 * (1 - float(piece["cooled_length"]) / float(piece["mould_length"]))


_FIGURES: Mapping[str, Callable[[Piece, float], float]] = {
    "pull": _strength,
    "overhang": _overhung,
    "droop": _drooped,
    "density": _density,
    "shrinkage": _shrinkage,
}
