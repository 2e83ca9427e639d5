"""Capsules, frustums, ellipsoids and cylinders: strands without relief against exact forms of solid geometry.

Standard forms (any mensuration table; MathWorld "Capsule", "Conical Frustum", "Ellipsoid"), checked by trimesh's own
primitives where it has them.
"""

from __future__ import annotations

import math

import pytest

from tests.outside.made import Made, plain, volume

MESH = 1e-3


def _holds(body: Made, exact_volume: float, exact_surface: float) -> None:
    assert body.size.volume == pytest.approx(exact_volume, rel=1e-8)
    assert body.size.surface == pytest.approx(exact_surface, rel=1e-6)
    assert volume(body.solid) == pytest.approx(exact_volume, rel=MESH)
    assert body.solid.surface == pytest.approx(exact_surface, rel=5e-3)


def test_a_capsule() -> None:
    """pi r^2 (L - 2r) + 4/3 pi r^3: L = 40, r = 5 gives 2879.793266; surface 2 pi r L."""
    body = plain(40, (0.0, 10.0), (1.0, 10.0), ends=(5, 5))
    _holds(body, 2879.793266, 2 * math.pi * 5 * 40)


def test_a_frustum() -> None:
    """pi L (R^2 + Rr + r^2) / 3: 3, 1.5, 20 gives 329.867229; its flat ends belong to the surface."""
    slant = math.hypot(20, 1.5)
    body = plain(20, (0.0, 6.0), (1.0, 3.0), ends=(0, 0))
    _holds(body, 329.867229, math.pi * (3 + 1.5) * slant + math.pi * (9 + 2.25))


def test_a_cylinder() -> None:
    body = plain(30, (0.0, 6.0), (1.0, 6.0), ends=(0, 0))
    _holds(body, math.pi * 9 * 30, 2 * math.pi * 3 * 30 + 2 * math.pi * 9)


def test_a_prolate_ellipsoid() -> None:
    """4/3 pi abc, 10, 4, 4: V 670.206433, A 418.429382."""
    body = plain(20, (0.0, 8.0), (1.0, 8.0), ends=(10, 10))
    _holds(body, 670.206433, 418.429382)
