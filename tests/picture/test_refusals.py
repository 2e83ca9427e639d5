"""What cannot be drawn is refused, by name."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.picture.meshes import Mesh, box, sphere
from worker.errors import GeometryFailed
from worker.picture import Finish, Glitter, finish_from_request, prepare, render

FINISH = finish_from_request({"colour": "#3f6b2a"})


def changed(value: float) -> Mesh:
    vertices, triangles = sphere(around=24)
    vertices[7, 1] = value
    return vertices, triangles


def sheet() -> Mesh:
    """An open, flat square: closed by nothing, so it has no volume."""
    return np.array([[0.0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0]]), np.array([[0, 1, 2], [0, 2, 3]])


NOTHING = np.zeros((0, 3)), np.zeros((0, 3), int)
BAD_MESHES = {
    "no triangles": (sphere(around=24)[0], NOTHING[1]),
    "no vertices": NOTHING,
    "not a number": changed(float("nan")),
    "infinite": changed(float("inf")),
    "a vertex that is not there": (sphere(around=24)[0], sphere(around=24)[1] + 1),
    "a negative vertex": (sphere(around=24)[0], sphere(around=24)[1] - 1),
    "fractions for vertex numbers": (sphere(around=24)[0], sphere(around=24)[1] + 0.5),
    "inside out": (sphere(around=24)[0], sphere(around=24)[1][:, ::-1]),
    "without volume": sheet(),
    "a point": (np.zeros((3, 3)), np.array([[0, 1, 2]])),
    "two coordinates": (np.zeros((4, 2)), np.array([[0, 1, 2]])),
}


@pytest.mark.parametrize("mesh", BAD_MESHES.values(), ids=BAD_MESHES.keys())
def test_a_mesh_that_is_not_a_solid_is_refused(mesh: tuple[Any, Any]) -> None:
    with pytest.raises(GeometryFailed):
        render(*mesh, finish=FINISH, width=64, height=48)
    with pytest.raises(GeometryFailed):
        prepare(*mesh, FINISH)


@pytest.mark.parametrize(
    "options",
    [
        {"width": 15},
        {"height": 5000},
        {"background": "beach"},
        {"view": "below"},
        {"view": (0.0, 91.0)},
        {"view": (float("nan"), 0.0)},
        {"margin": 0.5},
        {"margin": -0.1},
        {"pixels_per_mm": 0.0},
    ],
    ids=str,
)
def test_an_argument_out_of_range_is_refused(options: dict[str, Any]) -> None:
    with pytest.raises(ValueError):
        render(*box(20, 8, 8), finish=FINISH, **options)


@pytest.mark.parametrize(
    "finish",
    [
        {"colour": "olive"},
        {"colour": "#12345"},
        {"colour": "#1234567"},
        {"colour": "#3f6b2a", "translucency": 1.5},
        {"colour": "#3f6b2a", "translucency": True},
        {"colour": "#3f6b2a", "glitter": "gold"},
        {"colour": "#3f6b2a", "glitter": {"colour": "#ffd700", "size_mm": 0, "per_cm3": 40}},
        {"colour": "#3f6b2a", "glitter": {"colour": "#ffd700", "size_mm": 0.6, "per_cm3": -1}},
        {"colour": "#3f6b2a", "glitter": {"colour": "#ffd700", "size_mm": "0.6", "per_cm3": 40}},
    ],
    ids=str,
)
def test_a_finish_that_is_none_is_refused(finish: dict[str, object]) -> None:
    with pytest.raises(ValueError):
        finish_from_request(finish)


def test_a_finish_checks_its_colour() -> None:
    with pytest.raises(ValueError):
        Finish((0.5, 1.2, 0.0))
    with pytest.raises(ValueError):
        Glitter((float("nan"), 0.0, 0.0), 0.6, 40)


def test_a_request_s_finish_becomes_linear_light() -> None:
    """#808080 is 0.2158605 in linear light (IEC 61966-2-1: ((128/255 + 0.055) / 1.055) ^ 2.4)."""
    finish = finish_from_request({"colour": "#ff0080", "glitter": {"colour": "#808080", "size_mm": 0.6, "per_cm3": 40}})
    assert finish.colour == pytest.approx((1.0, 0.0, 0.2158605), abs=1e-6)
    assert finish.glitter == Glitter(finish.glitter.colour, 0.6, 40.0) if finish.glitter else False
    assert finish.translucency is None and 0 < finish.clarity < 1
    assert finish_from_request({"colour": "#ff0080", "glitter": None}).glitter is None
