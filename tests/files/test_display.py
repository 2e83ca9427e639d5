"""The display mesh: closed, near, of the same volume, few triangles, smooth where the bait is smooth."""

from __future__ import annotations

from collections import Counter
from math import cos, radians

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from tests.files.shapes import (
    BEAD_RADIUS,
    BEADS,
    PITCH,
    WORM_AROUND,
    Corners,
    Manifold,
    Points,
    Shape,
    body_of,
    craw,
    heap,
    rod,
    shape_of,
    sphere,
    volume_of,
    worm,
)
from worker.errors import GeometryFailed
from worker.files.display import DisplayMesh, display_mesh
from worker.files.nearness import beyond, spread

SHAPES = {
    "worm": worm,
    "craw": craw,
    "large sphere": lambda: sphere(9.0, 200),
    **{f"heap {seed}": lambda seed=seed: heap(seed) for seed in (4, 6, 8)},  # type: ignore[misc]
}


@pytest.fixture(scope="module", params=list(SHAPES))
def pair(request: pytest.FixtureRequest) -> tuple[Shape, DisplayMesh]:
    shape = SHAPES[request.param]()
    return shape, display_mesh(shape.vertices, shape.triangles)


def distances(tested: Points, vertices: Points, triangles: Corners) -> Points:
    """Upper bounds on the distance of points from a surface: trimesh's distance to each of the triangles near by."""
    middles, owners = spread(vertices, triangles, 0.35)
    tree = cKDTree(middles)
    best = np.full(len(tested), np.inf)
    for neighbours in (8, 200):
        unsure = np.flatnonzero(best > 0.09)
        _, near = tree.query(tested[unsure], k=neighbours)
        for choice in owners[near].T:
            foot = trimesh.triangles.closest_point(vertices[triangles[choice]], tested[unsure])
            best[unsure] = np.minimum(best[unsure], np.sqrt(((foot - tested[unsure]) ** 2).sum(axis=1)))
    return best


def test_it_is_closed(pair: tuple[Shape, DisplayMesh]) -> None:
    _, mesh = pair
    edges = Counter((int(t[i]), int(t[(i + 1) % 3])) for t in mesh.triangles for i in range(3))
    assert set(edges.values()) == {1}
    assert all((end, start) in edges for start, end in edges)
    assert np.array_equal(mesh.owner[mesh.corners], mesh.triangles)
    assert set(mesh.triangles.ravel().tolist()) == set(mesh.owner.tolist())


def test_its_volume_is_the_baits(pair: tuple[Shape, DisplayMesh]) -> None:
    shape, mesh = pair
    assert volume_of(mesh.vertices, mesh.triangles) == pytest.approx(shape.body.volume(), rel=1e-3)


def test_it_lies_near_the_bait_and_the_bait_near_it(pair: tuple[Shape, DisplayMesh]) -> None:
    shape, mesh = pair
    chance = np.random.Generator(np.random.PCG64(7))
    places, _ = spread(mesh.vertices, mesh.triangles, 0.9)
    drawn = np.concatenate([mesh.vertices, places])
    for tested, vertices, triangles in (
        (shape.vertices, mesh.vertices, mesh.triangles),
        (drawn, shape.vertices, shape.triangles),
    ):
        some = tested[chance.permutation(len(tested))[:20_000]]
        assert distances(some, vertices, triangles).max() <= 0.1


def test_it_has_few_triangles() -> None:
    assert len(worm().triangles) > 45_000 and 105_000 < len(craw().triangles) < 120_000
    assert len(display_mesh(worm().vertices, worm().triangles).triangles) <= 18_000
    assert len(display_mesh(craw().vertices, craw().triangles).triangles) <= 56_000


def test_where_a_simplification_goes_too_far_its_result_is_not_taken() -> None:
    # What the kernel makes of this heap at the coarsest tolerance used lies four times as far off as it may.
    shape = heap(6)
    coarse = shape_of(shape.body.simplify(0.08))
    assert distances(shape.vertices, coarse.vertices, coarse.triangles).max() > 0.4
    mesh = display_mesh(shape.vertices, shape.triangles)
    assert len(coarse.triangles) < len(mesh.triangles) < len(shape.triangles) / 2


def test_a_deviation_of_zero_and_a_small_mesh_are_left_alone() -> None:
    for shape, deviation in ((worm(), 0.0), (sphere(), 0.1)):
        mesh = display_mesh(shape.vertices, shape.triangles, deviation)
        assert np.array_equal(mesh.vertices, shape.vertices) and np.array_equal(mesh.triangles, shape.triangles)


def test_a_body_at_hand_changes_nothing() -> None:
    shape = worm()
    with_body = display_mesh(shape.vertices, shape.triangles, body=shape.body)
    without = display_mesh(shape.vertices, shape.triangles)
    assert np.array_equal(with_body.vertices, without.vertices) and np.array_equal(with_body.corners, without.corners)


def test_normals_of_a_sphere_are_its_radii() -> None:
    for shape in (sphere(), sphere(9.0, 200)):
        mesh = display_mesh(shape.vertices, shape.triangles)
        assert len(mesh.owner) == len(mesh.vertices)
        outward = mesh.vertices[mesh.owner]
        outward = outward / np.sqrt((outward**2).sum(axis=1, keepdims=True))
        assert (outward * mesh.normals).sum(axis=1).min() > cos(radians(0.5))


@pytest.mark.parametrize("deviation", [0.0, 0.1])
def test_beads_are_smooth_and_the_necks_between_them_creased(deviation: float) -> None:
    mesh = display_mesh(worm().vertices, worm().triangles, deviation)
    middles = BEAD_RADIUS + PITCH * np.arange(BEADS)
    # Every side belongs to one bead, and its normal is that ball's radius, on either side of a neck too.
    face = mesh.vertices[mesh.triangles].mean(axis=1)
    bead = np.abs(face[:, :1] - middles).argmin(axis=1)
    centre = np.zeros((len(face), 1, 3))
    centre[:, 0, 0] = middles[bead]
    outward = mesh.vertices[mesh.triangles] - centre
    outward /= np.sqrt((outward**2).sum(axis=2, keepdims=True))
    along = (outward * mesh.normals[mesh.corners]).sum(axis=2)
    # A neck's own corners see one bead's faces only, half an arc of 6.7 degrees away from them.
    assert along.min() > cos(radians(5))
    if deviation == 0:
        necks = (BEADS - 1) * WORM_AROUND
        assert len(mesh.owner) == len(mesh.vertices) + necks


def test_a_box_has_three_sides_at_each_corner() -> None:
    box = shape_of(Manifold.cube((3, 2, 1)))
    mesh = display_mesh(box.vertices, box.triangles)
    assert len(mesh.owner) == 24
    assert np.array_equal(np.sort(np.abs(mesh.normals), axis=1), np.tile([0.0, 0.0, 1.0], (24, 1)))


def test_a_feeler_thinned_to_few_sides_is_shaded_round() -> None:
    # Forty thin bowed rods, enough to be thinned: away from the ends every normal stands square on the centre line.
    def feeler(number: int) -> Manifold:
        start, end = np.array([0.0, 3.0 * number, 0]), np.array([40.0, 3.0 * number, 0])
        return rod(start, end, np.array([0.0, 0, 5]), (0.5, 0.5), 60, 24).body

    shape = shape_of(Manifold.compose([feeler(number) for number in range(40)]))
    mesh = display_mesh(shape.vertices, shape.triangles)
    assert len(mesh.triangles) < len(shape.triangles) / 2
    share = np.linspace(0, 1, 20_001)
    line = np.stack([40 * share, 0 * share, 20 * share * (1 - share)], axis=1)
    corner = mesh.vertices[mesh.owner]
    corner = corner - np.round(corner / 3) * [0, 3, 0]
    _, nearest = cKDTree(line).query(corner)
    inner = (nearest > 500) & (nearest < 19_500)
    radial = (corner - line[nearest])[inner]
    radial /= np.sqrt((radial**2).sum(axis=1, keepdims=True))
    assert inner.sum() > 5000
    assert (radial * mesh.normals[inner]).sum(axis=1).min() > cos(radians(4))


def test_two_pieces_stay_two() -> None:
    shape = shape_of(Manifold.compose([worm().body, worm().body.translate((0, 20, 0))]))
    mesh = display_mesh(shape.vertices, shape.triangles)
    assert len(mesh.triangles) < len(shape.triangles)
    assert len(body_of(mesh.vertices, mesh.triangles).decompose()) == 2


def test_an_open_mesh_is_refused() -> None:
    for shape in (sphere(), worm()):  # one that is left alone, one that would be thinned
        with pytest.raises(GeometryFailed):
            display_mesh(shape.vertices, shape.triangles[:-1])


def test_a_triangle_turned_over_is_refused() -> None:
    triangles = sphere().triangles.copy()
    triangles[40] = triangles[40, ::-1]
    with pytest.raises(GeometryFailed, match="same way"):
        display_mesh(sphere().vertices, triangles)


def test_nearness_of_known_points() -> None:
    # A box of 6 x 4 x 2 mm: above a face, off an edge (a 3-4-5 triangle), off a corner.
    box = shape_of(Manifold.cube((6, 4, 2)))
    for point, away in (((3, 2, 2.5), 0.5), ((3, 4.3, 2.4), 0.5), ((-0.2, -0.1, -0.2), 0.3), ((3, 2, 1.25), 0.75)):
        tested = np.array([point, (0.0, 0.0, 0.0)])
        assert beyond(tested, box.vertices, box.triangles, away + 1e-9)[0].tolist() == []
        number, distance = beyond(tested, box.vertices, box.triangles, away - 1e-9)
        assert (number.tolist(), distance.tolist()) == ([0], [pytest.approx(away)])
