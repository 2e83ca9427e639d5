"""Flares of roots against rounds of the reference kernel (OpenCASCADE): added volume and sections within 5 %.

A rod grows out of a plate, or out of a thicker rod along x; the kernel fuses the two and rounds the crease. Where the
rod leans, the kernel's own round lies up to 0.08 mm off a rolling ball's (its surface is a fitted spline): there the
ball's own surface, by closed forms, is compared too, within 1.5 %.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from tests.requires import requires
from worker.measures.strand.flare_size import flare_volume
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.attach import attach
from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand

Row = Callable[[str, object, object], None]
WITHIN = 0.05
TOLERANCE = 0.01
LONG = 20.0
in_both_sets = pytest.mark.parametrize("_", ["quick", pytest.param("proof", marks=pytest.mark.proof)])


@dataclass(frozen=True)
class Case:
    """A rod of half-axes `across` (along y) and `other`, `degrees` above x, on a rod of radius `parent` or a plate."""

    parent: float | None
    across: float
    other: float
    ball: float
    degrees: float = 90.0

    @property
    def way(self) -> tuple[float, float, float]:
        turn = math.radians(self.degrees)
        return math.cos(turn), 0.0, math.sin(turn)

    @property
    def begin(self) -> tuple[float, float, float]:
        depth = 5.0 if self.parent is None else 0.0
        return -depth * self.way[0] / self.way[2], 0.0, -depth

    @property
    def leaves(self) -> float:
        return (5.0 if self.parent is None else self.parent) / self.way[2]

    def strands(self) -> tuple[Strand, Strand]:
        """Parent and rod, as the product has them."""
        wide, high = (4000.0, 10.0) if self.parent is None else (2 * self.parent, 2 * self.parent)
        path = StraightPath(80, (-40, 0, -5 if self.parent is None else 0))
        parent = Strand("parent", "trunk", path, Girth.oval((0.0, wide, high), (1.0, wide, high)), Plain((0.0, 0.0)))
        own = Girth.oval((0.0, 2 * self.across, 2 * self.other), (1.0, 2 * self.across, 2 * self.other))
        way = StraightPath(self.leaves + LONG, self.begin, self.way)
        return parent, Strand("rod", "leg", way, own, Plain((0.0, 0.0)))

    def pictured(self) -> str:
        where = "a plate" if self.parent is None else f"a rod of {2 * self.parent:g} mm"
        lean = "" if self.degrees == 90 else f" at {self.degrees:g} degrees"
        return f"a rod of {2 * self.across:g} x {2 * self.other:g} mm on {where}{lean}, ball {self.ball:g} mm"


SQUARE = (
    Case(None, 2, 2, 1.5),
    Case(None, 1.5, 1.5, 0.5),
    Case(3, 2, 2, 1.0),
    Case(4, 2, 2, 0.5),
    Case(4, 2, 2, 1.0),
    Case(8, 2, 2, 1.0),
    Case(8, 2, 2, 2.0),
)
OVAL = (Case(None, 2, 1, 1.0), Case(4, 2, 1, 1.0), Case(4, 1, 2, 1.0), Case(6, 1.5, 3, 0.8))
LEANING = tuple(Case(parent, 2, 2, 1.0, degrees) for parent in (None, 4, 8) for degrees in (60.0, 45.0))


def by_the_kernel(case: Case) -> tuple[float, Callable[[float], float]]:
    """Volume that the round adds, and the section's area square to the rod at a station of it."""
    from tests.outside import kernel

    if case.parent is None:
        parent = kernel.block((-30, -30, -10), (30, 30, 0))
    else:
        parent = kernel.rod(-40, 40, case.parent)
    rod = kernel.oval_rod(case.begin, case.way, case.across, case.other, case.leaves + LONG)
    sharp = kernel.fused([parent, rod])

    def on_the_crease(place: tuple[float, float, float]) -> bool:
        x, y, z = place
        off = z if case.parent is None else math.hypot(y, z) - case.parent
        return abs(off) < 1e-4 and math.hypot(x, y) < 20

    rounded = kernel.rounded_where(sharp, case.ball, on_the_crease)

    def area(station: float) -> float:
        point = tuple(begin + station * way for begin, way in zip(case.begin, case.way, strict=True))
        return kernel.section_area(rounded, point, case.way, 15.0)

    return kernel.volume(rounded) - kernel.volume(sharp), area


def by_us(case: Case) -> tuple[float, Solid, Strand]:
    """Volume that the flare adds, the solid with it, and the rod."""
    parent, plain = case.strands()
    flared = attach(plain, parent, case.ball)
    with_flare = joined([parent, flared], TOLERANCE)
    return with_flare.volume - joined([parent, plain], TOLERANCE).volume, with_flare, flared


@requires("kernel")
@in_both_sets
@pytest.mark.parametrize("case", SQUARE + OVAL, ids=Case.pictured)
def test_a_rod_that_stands_upright(case: Case, _: str, proof_row: Row) -> None:
    exact, area = by_the_kernel(case)
    added, solid, rod = by_us(case)
    proof_row(f"{case.pictured()}: added volume over the kernel's, %", 100 * (added / exact - 1), 5)
    assert added == pytest.approx(exact, rel=WITHIN)
    worst = 0.0
    for share in (0.15, 0.3, 0.5, 0.7, 0.9):
        station = case.leaves + share * case.ball
        # The rod stands along z.
        ours = float(solid.body.slice(case.begin[2] + station).area())
        worst = max(worst, abs(ours / area(station) - 1))
    proof_row(f"{case.pictured()}: sections over the kernel's, %", 100 * worst, 5)
    assert worst < WITHIN
    # The estimate's closed form; its weakest point is an oval rod on a round one.
    assert flare_volume(rod) == pytest.approx(exact, rel=0.05 if case.across == case.other else 0.16)


@requires("kernel")
@in_both_sets
@pytest.mark.parametrize("case", LEANING, ids=Case.pictured)
def test_a_rod_that_leans(case: Case, _: str, proof_row: Row) -> None:
    exact, _area = by_the_kernel(case)
    added, _solid, rod = by_us(case)
    proof_row(f"{case.pictured()}: added volume over the kernel's, %", 100 * (added / exact - 1), 6)
    assert added == pytest.approx(exact, rel=0.06)
    assert flare_volume(rod) == pytest.approx(exact, rel=0.08)


@pytest.mark.parametrize("case", [case for case in LEANING + SQUARE if case.parent is not None], ids=Case.pictured)
def test_against_the_balls_own_surface(case: Case) -> None:
    added, _, _ = by_us(case)
    assert added == pytest.approx(rolled_exactly(case), rel=0.015)


def rolled_exactly(case: Case, around: int = 1500, steps: int = 40) -> float:
    """Volume between a round rod, a cylinder about x and the ball that rolls around their crease.

    The ball's middle lies r from both: on a cylinder about the rod's axis of radius a + r and on one about x of radius
    R + r, where the two meet. Its arc runs between the touching points; the crease is where the two bodies meet. The
    closed surface of arcs, rod and parent is summed by the divergence theorem.
    """
    assert case.parent is not None
    rod, parent, ball = case.across, case.parent, case.ball
    way, level = np.array(case.way), np.array([0.0, 1.0, 0.0])
    turn = 2 * np.pi * np.arange(around) / around
    out = np.outer(np.cos(turn), level) + np.outer(np.sin(turn), np.cross(way, level))

    def on_both(beside: float, radius: float) -> np.ndarray:
        aside = beside * out
        along = (np.sqrt(radius**2 - aside[:, 1] ** 2) - aside[:, 2]) / way[2]
        return aside + along[:, None] * way

    middle, crease = on_both(rod + ball, parent + ball), on_both(rod, parent)
    up = middle * [0.0, 1.0, 1.0] / (parent + ball)
    angle = np.arccos(np.clip((out * up).sum(axis=1), -1, 1))[:, None]
    touch, foot = middle - ball * out, middle - ball * up
    share = (np.arange(steps) / steps)[:, None, None]
    along_rod = crease + (touch - crease) * share
    ways = (np.sin((1 - share) * angle) * out + np.sin(share * angle) * up) / np.sin(angle)
    below = foot + (crease - foot) * share
    scale = (parent / np.hypot(below[..., 1], below[..., 2]))[..., None]
    below = np.where([False, True, True], below * scale, below)
    rows = np.concatenate([along_rod, middle - ball * ways, below])
    a, b = rows, np.roll(rows, -1, axis=0)
    c, d = np.roll(a, -1, axis=1), np.roll(b, -1, axis=1)
    return abs(float((a * np.cross(c, b)).sum() + (c * np.cross(d, b)).sum()) / 6)
