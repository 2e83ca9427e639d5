"""Whole worms against the reference kernel (OpenCASCADE): volume within 0.1 % at no more than 50,000 triangles.

Built there from these tests' own figures: outlines of exact arcs turned about the axis, or balls and a rod fused and
rounded by the kernel itself. Rolling ball between two spheres: X = (d^2 + (R1 + r)^2 - (R2 + r)^2) / 2d,
Y = sqrt((R1 + r)^2 - X^2), touching point on sphere 1 at R1 (X, Y) / (R1 + r).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from tests.outside.made import asked, made, volume
from tests.requires import requires
from worker.estimate import estimate

if TYPE_CHECKING:
    from tests.outside.kernel import Arc

pytestmark = requires("kernel")

WITHIN = 1e-3
TRIANGLES_FOR_16_BEADS = 50_000
Row = Callable[[str, object, object], None]

# In the quick set, and once more in the proof, whose table states the figures.
in_both_sets = pytest.mark.parametrize("_", ["quick", pytest.param("proof", marks=pytest.mark.proof)])


def _outline(centres: list[float], radii: list[float], ball: float) -> list[Arc]:
    """Arcs of spheres and of the rounds between them, from nose to tail."""
    from tests.outside.kernel import Arc

    arcs, begin = [], (centres[0] - radii[0], 0.0)
    for i in range(len(centres) - 1):
        one, two, distance = radii[i], radii[i + 1], centres[i + 1] - centres[i]
        x = (distance**2 + (one + ball) ** 2 - (two + ball) ** 2) / (2 * distance)
        y = math.sqrt((one + ball) ** 2 - x**2)
        shrink_one, shrink_two = one / (one + ball), two / (two + ball)
        leaves = (centres[i] + shrink_one * x, shrink_one * y)
        lands = (centres[i + 1] + shrink_two * (x - distance), shrink_two * y)
        arcs += [Arc((centres[i], 0.0), one, begin, leaves), Arc((centres[i] + x, y), ball, leaves, lands)]
        begin = lands
    tail = (centres[-1] + radii[-1], 0.0)
    arcs.append(Arc((centres[-1], 0.0), radii[-1], begin, tail))
    return arcs


def _against(style: str, params: dict[str, Any], exact: float, name: str, proof_row: Row) -> None:
    request = asked(style, params)
    bait, in_short = made(request), estimate(request)["metrics"]["volume_mm3"]
    triangles, measured = len(bait.solid.triangles), volume(bait.solid)
    proof_row(f"{name}: volume of the mesh over the kernel's, %", 100 * (measured / exact - 1), "0.1")
    proof_row(f"{name}: volume of the estimate over the kernel's, %", 100 * (in_short / exact - 1), "0.1")
    proof_row(f"{name}: triangles", triangles, TRIANGLES_FOR_16_BEADS)
    assert in_short == pytest.approx(exact, rel=1e-5)
    assert measured == pytest.approx(exact, rel=WITHIN)
    assert triangles <= TRIANGLES_FOR_16_BEADS * max(1.0, params["bead_count"] / 16)


@in_both_sets
def test_a_blended_worm(_: str, proof_row: Row) -> None:
    from tests.outside import kernel

    count, length, radius, blend = 16, 127.0, 4.5, 0.8
    pitch = (length - 2 * radius) / (count - 1)
    shape = kernel.revolved(_outline([radius + pitch * i for i in range(count)], [radius] * count, blend))
    params = {"length": length, "bead_diameter": 2 * radius, "bead_count": count, "joint_blend": blend}
    _against("beaded_worm", params, kernel.volume(shape), "blended worm, 16 beads", proof_row)


@in_both_sets
def test_a_worm_on_its_core_rounded_by_the_kernel(_: str, proof_row: Row) -> None:
    """Nothing of our plane geometry: balls and a rod fused, the edges where they meet rounded by the kernel."""
    from tests.outside import kernel

    count, length, radius, core, blend = 11, 114.3, 4.25, 2.75, 0.8
    centres = [radius + (length - 2 * radius) / (count - 1) * i for i in range(count)]
    whole = kernel.fused([kernel.rod(centres[0], centres[-1], core), *(kernel.ball(x, radius) for x in centres)])
    params = {"length": length, "bead_diameter": 8.5, "bead_count": count, "core_diameter": 5.5, "joint_blend": blend}
    exact = kernel.volume(kernel.filleted(whole, core, blend))
    _against("jointed_worm", params, exact, "jointed worm on its core", proof_row)


@in_both_sets
def test_a_tapered_worm(_: str, proof_row: Row) -> None:
    """Equal overlap on a straight taper: the beads shrink as a geometric series and stand where the girth has them."""
    from tests.outside import kernel

    count, length, first, taper, blend = 16, 120.0, 5.0, 0.55, 1.1
    radii = [first * taper ** (i / (count - 1)) for i in range(count)]
    span = length - radii[0] - radii[-1]
    centres = [radii[0] + span * (radii[0] - radius) / (radii[0] - radii[-1]) for radius in radii]
    shape = kernel.revolved(_outline(centres, radii, blend))
    params = {"length": length, "bead_diameter": 2 * first, "bead_count": count, "joint_blend": blend, "taper": taper}
    _against("beaded_worm", params, kernel.volume(shape), "tapered worm, 16 beads", proof_row)


def test_the_kernel_agrees_with_exact_forms() -> None:
    """The reference itself: a chain of six spheres (MathWorld) and a rolling-ball round of two."""
    from tests.outside import kernel

    balls = kernel.fused(kernel.ball(5 + 8 * i, 5) for i in range(6))
    assert kernel.volume(balls) == pytest.approx(2994.984996, rel=1e-6)
    pair = kernel.fused(kernel.ball(5 + 8 * i, 5) for i in range(2))
    assert kernel.volume(kernel.filleted(pair, 3, 2)) == pytest.approx(1030.590552, rel=1e-6)
