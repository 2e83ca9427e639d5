"""The judge of solids itself: it passes sound ones and sees each kind of fault."""

from __future__ import annotations

import numpy as np
import pytest

from tests.property.sound import assert_closed, assert_sound, doubly_wound, misplaced, signed_area, winding
from tests.strands.test_self_meeting import curl, tail
from worker.solid.join import joined
from worker.solid.solid import Solid, checked_solid
from worker.solid.trunk import mesh_of, solid_of
from worker.strands.self_meeting import runs_into_itself
from worker.strands.turning import too_tight


def both(one: Solid, other: Solid) -> Solid:
    """The two surfaces as one mesh, without a union."""
    vertices = np.concatenate([one.vertices, other.vertices])
    return checked_solid(vertices, np.concatenate([one.triangles, other.triangles + len(one.vertices)]))


def test_a_sound_curl_is_sound() -> None:
    strand = tail(curl(320, 8, 8), 3, 2)
    assert_sound(solid_of(strand, 0.05), 1)


def test_the_winding_of_points() -> None:
    solid = solid_of(tail(curl(320, 8, 8), 3, 2), 0.05)
    inside = solid.vertices[solid.triangles[:200]].mean(axis=(0, 1))
    assert winding(both(solid, solid), np.array([inside, [50.0, 0, 0]])) == pytest.approx(
        2 * winding(solid, np.array([inside, [50.0, 0, 0]])), abs=1e-9
    )


@pytest.mark.parametrize("degrees", [380, 400, 500])
def test_a_ring_that_lies_in_itself_is_seen(degrees: float) -> None:
    solid = solid_of(tail(curl(degrees, 8, 8), 3, 2), 0.05)
    assert doubly_wound(solid) > 0.01 or misplaced(solid) > 0


def test_a_fold_on_the_inside_of_a_turn_is_seen() -> None:
    strand = tail(curl(180, 2, 2), 6, 2)
    assert too_tight(strand) is not None
    assert doubly_wound(solid_of(strand, 0.05)) > 1e-3


@pytest.mark.parametrize("width", [3.0, 3.6, 4.4, 5.5])
def test_what_arithmetic_takes_the_mesh_proves(width: float) -> None:
    strand = tail(curl(720, 14, 6), width, 1.5)
    solid = solid_of(strand, 0.05)
    if runs_into_itself(strand) is None:
        assert_sound(solid, 1)
    else:
        assert doubly_wound(solid) > 1e-3


def test_two_solids_in_one_place_are_seen() -> None:
    one, other = (solid_of(tail(curl(320, radius, radius), 3, 2), 0.05) for radius in (8, 8.5))
    assert doubly_wound(both(one, other)) > 0.1
    assert misplaced(both(one, other)) > 10


def test_an_open_and_a_turned_mesh_are_seen() -> None:
    vertices, triangles = mesh_of(tail(curl(90, 8, 8), 3, 2), 0.05)
    sound = checked_solid(vertices, triangles)
    for wrong in (triangles[1:], np.concatenate([triangles[:1, ::-1], triangles[1:]]), triangles[:, ::-1]):
        with pytest.raises(AssertionError):
            assert_closed(Solid(sound.vertices, wrong, sound.body))


def test_the_area_of_a_cut() -> None:
    # A box of 4 x 6 mm.
    low, high = np.zeros(3), np.array([4.0, 6.0, 8.0])
    corners = np.array([[high[i] if bit >> i & 1 else low[i] for i in range(3)] for bit in range(8)])
    faces = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]]
    triangles = np.array([t for a, b, c, d in faces for t in ((a, b, c), (a, c, d))])
    assert abs(signed_area(corners, triangles, 3.0)) == pytest.approx(24)


def test_pieces_are_counted() -> None:
    one = joined([tail(curl(90, 8, 8), 3, 2)], 0.05)
    with pytest.raises(AssertionError):
        assert_sound(one, 2)
