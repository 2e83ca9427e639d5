"""The curled tail: a blade that stays in one plane and curls to the left of its place."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np

from worker.strands.hermite import HermitePath, Knot
from worker.strands.plain import Plain
from worker.strands.roots import Array
from worker.strands.strand import Strand, StrandKind
from worker.styles.placing import Place
from worker.styles.tail_blades import Blade, Stations
from worker.styles.tail_spiral import STEMS, Spiral, spiral

CURL: Stations = ((0.05, 0.0), (0.20, 0.70), (0.38, 1.0), (0.62, 0.92), (0.85, 0.66), (1.0, 0.46))
"""Shares of the length with the way from the wrist's width (0) to the blade's (1) there (judgement)."""
CURL_END = 0.3
"""Length of the rounded tip over the blade's width (judgement)."""


@lru_cache(maxsize=256)  # asked for the tail's reach, for the tail itself, and by every remedy that leaves it alone
def line_of(blade: Blade, degrees: float, inner: float, stems: tuple[float, ...] = STEMS) -> Spiral | None:
    """The curl's line; None where the blade is too short or too wide for such a turn."""
    girth = blade.girth(CURL, 0.0)

    def half_widths(share: Array) -> Array:
        return girth.width(np.clip(share, 0.0, 1.0)) / 2

    return spiral(blade.length, degrees, inner, half_widths, stems)


def curl(
    name: str,
    place: Place,
    depth: float,
    blade: Blade,
    degrees: float,
    inner: float,
    kind: StrandKind = "tail",
    stems: tuple[float, ...] = STEMS,
) -> Strand:
    """A blade that turns by `degrees`, its inner edge on no less than `inner` mm. Raises CurlTooTight.

    A curl of constant width is had with a wrist as wide as the blade.
    """
    line = line_of(blade, degrees, inner, stems)
    if line is None:
        raise CurlTooTight(f"a tail {blade.length:.3g} mm long cannot turn by {degrees:g} degrees")
    first, *rest = line.knots(place)
    knots: tuple[Knot, ...] = (first, *rest)
    if depth > 0:
        knots = (Knot(place.at(-depth), place.ahead, 0.0, depth), replace(first, before=depth), *rest)
    path = HermitePath(knots, place.left)
    girth = blade.girth(CURL, path.length - blade.length)
    return Strand(name, kind, path, girth, Plain((0.0, blade.end(CURL_END))))


class CurlTooTight(ValueError):
    """A curl that its tail is too short or too wide for."""
