"""The silhouette is whole, and lies the right way round."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.picture.meshes import Mesh, box, craw, sphere, thin_rod, worm
from worker.picture import finish_from_request, render

FINISH = finish_from_request({"colour": "#3f6b2a"})
VIEWS = ["three_quarter", "top", "side", "front", (200.0, 20.0), (-38.0, 75.0), (60.0, -30.0), (0.0, -90.0)]
MESHES = {"worm": worm(), "craw": craw(), "ball": sphere(), "rod": thin_rod(), "block": box(50, 12, 6)}


def solid(mesh: Mesh, **options: object) -> NDArray[np.bool_]:
    """Pixels that the bait covers whole."""
    image = render(*mesh, finish=FINISH, background="transparent", **options)  # type: ignore[arg-type]
    whole: NDArray[np.bool_] = np.asarray(image)[..., 3] == 255
    return whole


@pytest.mark.parametrize("view", VIEWS, ids=str)
@pytest.mark.parametrize("mesh", MESHES.values(), ids=MESHES.keys())
def test_nothing_is_cut_even_without_a_margin(mesh: Mesh, view: object) -> None:
    width, height = 160, 120
    tight = solid(mesh, view=view, width=width, height=height, margin=0.0)
    assert not tight[[0, -1]].any() and not tight[:, [0, -1]].any()
    rows, columns = np.flatnonzero(tight.any(axis=1)), np.flatnonzero(tight.any(axis=0))
    tall, wide = rows[-1] - rows[0] + 1, columns[-1] - columns[0] + 1
    assert wide >= width - 6 or tall >= height - 6, "the bait fills the frame one way"
    assert abs(columns[0] + columns[-1] + 1 - width) <= 3 and abs(rows[0] + rows[-1] + 1 - height) <= 3


@pytest.mark.parametrize("size", [(16, 16), (100, 75), (400, 60), (60, 400)], ids=str)
def test_every_shape_of_frame_holds_the_bait(size: tuple[int, int]) -> None:
    cover = solid(craw(), width=size[0], height=size[1], margin=0.02)
    assert cover.shape == (size[1], size[0])
    assert not cover[[0, -1]].any() and not cover[:, [0, -1]].any()


def test_the_margin_is_kept() -> None:
    cover = solid(worm(), view="side", width=400, height=300, margin=0.2)
    columns = np.flatnonzero(cover.any(axis=0))
    assert 78 <= columns[0] <= 84 and 315 <= columns[-1] <= 321


def test_a_flat_view_keeps_measures() -> None:
    """At 4 pixels per mm a block of 50 x 12 x 6 mm covers 200 x 48, 200 x 24 and 48 x 24 pixels."""
    for view, wide, tall in (("top", 200, 48), ("side", 200, 24), ("front", 48, 24)):
        cover = solid(box(50, 12, 6), view=view, width=240, height=120, pixels_per_mm=4.0)
        rows, columns = np.flatnonzero(cover.any(axis=1)), np.flatnonzero(cover.any(axis=0))
        assert abs(columns[-1] - columns[0] + 1 - wide) <= 1
        assert abs(rows[-1] - rows[0] + 1 - tall) <= 1


def test_a_scale_that_would_cut_the_bait_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        solid(box(50, 12, 6), view="side", width=240, height=120, pixels_per_mm=6.0)


def joined(*parts: tuple[Mesh, tuple[float, float, float]]) -> Mesh:
    """Several solids as one mesh, each moved."""
    vertices, triangles, count = [], [], 0
    for (points, corners), shift in parts:
        vertices.append(points + shift)
        triangles.append(corners + count)
        count += len(points)
    return np.concatenate(vertices), np.concatenate(triangles)


def test_the_nose_lies_to_the_left() -> None:
    club = joined((box(20, 16, 16), (0, 0, 0)), (box(40, 6, 6), (20, 0, 0)))
    for view in ("top", "side", "three_quarter"):
        cover = solid(club, view=view, width=320, height=240)
        assert cover[:, :110].sum() > 2 * cover[:, 210:].sum(), view


def test_y_and_z_point_the_right_way() -> None:
    """A block with a lump towards y at its tail and a smaller one towards z at its nose."""
    lumpy = joined((box(40, 8, 8), (0, 0, 0)), (box(10, 6, 2), (30, 7, 0)), (box(6, 2, 4), (0, 0, 6)))
    top = solid(lumpy, view="top", width=320, height=240)
    first, last = np.flatnonzero(top.any(axis=1))[[2, -3]]
    assert top[first].sum() < 0.5 * top[last].sum(), "y is up in the view from above"
    assert np.flatnonzero(top[first]).min() > 160, "the tail is to the right"
    side = solid(lumpy, view="side", width=320, height=240)
    assert side[np.flatnonzero(side.any(axis=1))[0] + 2].sum() < 60, "z is up: the lump is on top"
    front = solid(lumpy, view="front", width=320, height=240)
    columns = np.flatnonzero(front.any(axis=0))
    back = np.flatnonzero(front[np.flatnonzero(front.any(axis=1))[0] + 2]).mean()
    # Looking at the nose, y is to the left, so the block itself lies in the right half.
    assert back - columns[0] > 1.5 * (columns[-1] - back)


def test_the_nose_is_nearer_in_the_three_quarter_view() -> None:
    """Nearer is larger and, seen from above, lower."""
    cover = solid(worm(), width=400, height=300)
    columns = np.flatnonzero(cover.any(axis=0))
    nose, tail = cover[:, columns[0] : columns[0] + 40], cover[:, columns[-1] - 39 : columns[-1] + 1]
    assert np.flatnonzero(nose.any(axis=1)).mean() > np.flatnonzero(tail.any(axis=1)).mean() + 50
    assert nose.sum() > 1.05 * tail.sum()
