"""The rasteriser against a plain loop, and on surfaces that must have no holes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.picture.meshes import craw, sphere, thin_rod, worm
from worker.picture import strips
from worker.picture.body import Body
from worker.picture.camera import frame
from worker.picture.facing import facing_the_eye
from worker.picture.light import LightMap
from worker.picture.raster import Hits, crossings, nearest, nearest_weighed
from worker.picture.surface import FINENESS, look
from worker.picture.vector import unit

WIDE, TALL = 40, 30
FINDERS: tuple[Callable[..., Hits], ...] = (nearest_weighed, crossings)


def triangles(count: int) -> tuple[list[NDArray[np.float32]], list[NDArray[np.int32]]]:
    random = np.random.Generator(np.random.PCG64(5))
    corners = random.random((count, 1, 3)) * [WIDE, TALL, 50] + random.random((count, 3, 3)) * [14, 14, 9] - [7, 7, -5]
    points = corners.reshape(-1, 3).astype(np.float32)
    faces = np.arange(3 * count, dtype=np.int32).reshape(count, 3)
    return [points[:, i].copy() for i in range(3)], [faces[:, i].copy() for i in range(3)]


def one_by_one(
    points: list[NDArray[np.float32]], faces: list[NDArray[np.int32]], facing: int, slack: float
) -> dict[int, float]:
    """Depth at each covered pixel centre, by solving for each triangle and pixel in double precision."""
    nearest_depth: dict[int, float] = {}
    x, y, z = (q.astype(np.float64) for q in points)
    for a, b, c in zip(*faces, strict=True):
        turn = (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a])
        if turn * facing <= 0:
            continue
        for row in range(TALL):
            for column in range(WIDE):
                px, py = column + 0.5 - x[a], row + 0.5 - y[a]
                u = (px * (y[c] - y[a]) - py * (x[c] - x[a])) / turn
                v = (py * (x[b] - x[a]) - px * (y[b] - y[a])) / turn
                if u >= -slack and v >= -slack and u + v <= 1 + slack:
                    depth = z[a] * (1 - u - v) + z[b] * u + z[c] * v
                    place = row * WIDE + column
                    nearest_depth[place] = min(nearest_depth.get(place, 1e9), depth)
    return nearest_depth


def slivers(count: int) -> tuple[list[NDArray[np.float32]], list[NDArray[np.int32]]]:
    """Triangles as long as the picture and about half a pixel wide, at all angles, some quite upright or level."""
    random = np.random.Generator(np.random.PCG64(11))
    begin = random.random((count, 3)) * [WIDE, TALL, 50]
    end = random.random((count, 3)) * [WIDE, TALL, 50]
    end[::7, 0], end[3::7, 1] = begin[::7, 0], begin[3::7, 1]
    beside = end + random.random((count, 3)) - 0.5
    points = np.stack([begin, end, beside], axis=1).reshape(-1, 3).astype(np.float32)
    faces = np.arange(3 * count, dtype=np.int32).reshape(count, 3)
    return [points[:, i].copy() for i in range(3)], [faces[:, i].copy() for i in range(3)]


def test_what_is_looked_for_row_by_row_is_found_as_in_the_whole_rectangle(monkeypatch: pytest.MonkeyPatch) -> None:
    for points, faces in (slivers(300), triangles(60)):
        found = []
        for large in (0, 48, 10**9):
            monkeypatch.setattr(strips, "_LARGE", large)
            found.append([find(*points, faces, WIDE, TALL, 0) for find in FINDERS])
        for one, two in zip(found[0] + found[1], found[2] + found[2], strict=True):
            assert np.array_equal(one.triangle, two.triangle), "triangles come in their own order"
            # In which order the pixels of one triangle come, by rows or by columns, means nothing.
            first, second = (np.lexsort((each.pixel, each.triangle)) for each in (one, two))
            for name in (field.name for field in fields(one)):
                assert np.array_equal(getattr(one, name)[first], getattr(two, name)[second]), name


def test_a_long_thin_triangle_is_looked_for_beside_itself_alone() -> None:
    """Its length times a few pixels, not its length times its height."""
    points, faces = slivers(300)
    facing = facing_the_eye(points[0] * 20, points[1] * 20, faces, 20 * WIDE, 20 * TALL, 0)
    tried = strips.strips_of(facing).count.sum()
    rectangles, sides = facing.count.sum(), (facing.wide + facing.count // facing.wide).sum()
    assert tried < 0.2 * rectangles and tried < 25 * sides


def test_the_nearest_of_random_triangles_matches_a_plain_loop() -> None:
    points, faces = triangles(60)
    for facing in (1, -1):
        hits = nearest(points[0], points[1], points[2], faces, WIDE, TALL, facing)
        surely, perhaps = (one_by_one(points, faces, facing, slack) for slack in (0.0, 1e-3))
        found = dict(zip(hits.pixel.tolist(), hits.depth.tolist(), strict=True))
        weighed = nearest_weighed(points[0], points[1], points[2], faces, WIDE, TALL, facing)
        assert all(np.array_equal(getattr(hits, each.name), getattr(weighed, each.name)) for each in fields(hits))
        ends = [points[2][corner[weighed.triangle]] for corner in faces]
        between = ends[0] * (1 - weighed.u - weighed.v) + ends[1] * weighed.u + ends[2] * weighed.v
        assert np.array_equal(between, weighed.depth), "its weights are those of the place whose depth is told"
        assert set(surely) <= set(found) <= set(perhaps)
        assert len(perhaps) - len(surely) < 0.02 * len(surely)
        for pixel, depth in found.items():
            expected = (perhaps[pixel], surely.get(pixel, perhaps[pixel]))
            assert min(abs(depth - one) for one in expected) < 1e-3


def test_work_done_in_blocks_is_the_same_as_in_one(monkeypatch: pytest.MonkeyPatch) -> None:
    points, faces = triangles(60)
    whole = crossings(points[0], points[1], points[2], faces, WIDE, TALL, 0)
    monkeypatch.setattr("worker.picture.raster._BLOCK", 100)
    pieces = crossings(points[0], points[1], points[2], faces, WIDE, TALL, 0)
    for name in ("pixel", "triangle", "depth"):
        assert np.array_equal(getattr(whole, name), getattr(pieces, name))


def test_a_closed_body_shows_no_hole_from_any_side() -> None:
    """Edges that run exactly through pixel centres must belong to one triangle at least."""
    for mesh in (sphere(), thin_rod(), worm()):
        body = Body(*mesh)
        for view in ("front", "top", "side", "three_quarter", (45.0, 45.0), (90.0, 45.0)):
            camera = frame(body, view, 320, 240, 0.06)
            samples, points = look(body, camera)
            rows, columns = camera.rows * FINENESS, camera.columns * FINENESS
            flat = np.full(rows * columns, np.inf)
            flat[samples.place] = samples.depth
            depth = flat.reshape(rows, columns)
            around = np.stack([depth[:-2, 1:-1], depth[2:, 1:-1], depth[1:-1, :-2], depth[1:-1, 2:]])
            assert not (depth[1:-1, 1:-1] > around.max(axis=0) + 1.0).any(), (view, "a pit of a millimetre")
            assert len(points.pixel) == len(np.unique(samples.pixel))


def test_normals_and_places_are_those_of_a_ball() -> None:
    body = Body(*sphere(10.0, around=192))
    for view in ("side", "three_quarter"):
        camera = frame(body, view, 200, 200, 0.06)
        samples, points = look(body, camera)
        distance = np.sqrt((points.point.astype(float) ** 2).sum(axis=1))
        assert np.abs(distance - 10).max() < 0.02
        outward = points.point.astype(float) / distance[:, None]
        assert ((outward * points.normal).sum(axis=1)).min() > 0.995
        assert ((samples.normal * samples.ray).sum(axis=1)).max() < 0.1


def test_a_light_map_gives_the_chord_of_a_ball() -> None:
    """A point at height h under the pole of a ball of radius r lies r - h deep, on the axis 2r at the far end."""
    body = Body(*sphere(10.0, around=192))
    camera = frame(body, "side", 200, 200, 0.06)
    lamp = LightMap(body, camera, unit((0.0, 0.0, 1.0)))
    heights = np.array([9.0, 5.0, 0.0, -5.0, -10.0])
    points = np.stack([0 * heights + 0.03, 0 * heights + 0.05, heights], axis=1).astype(np.float32)
    assert lamp.depth(points) == pytest.approx(10 - heights, abs=0.03)
    outside = np.array([[0.0, 0.0, 12.0]], np.float32)
    assert lamp.depth(outside)[0] < -1.9


def test_a_slanting_surface_does_not_lie_in_its_own_shadow() -> None:
    body = Body(*craw())
    camera = frame(body, "three_quarter", 320, 240, 0.06)
    _, points = look(body, camera)
    lamp = LightMap(body, camera, unit((-0.3, -0.4, 0.8)))
    facing = (points.normal * lamp.toward).sum(axis=1) > 0.3
    depth = lamp.depth(points.point)[facing]
    # Lit points lie on the lit surface; what is deeper is in a true shadow, of which a craw has some.
    assert np.median(np.abs(depth)) < 0.01
    assert (np.abs(depth) < 0.1).mean() > 0.8
    assert np.quantile(depth, 0.001) > -0.5, "hardly any lies in front of the lit surface"
