"""White, dark and transparent grounds, and the shadow on them."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.picture.meshes import craw, sphere, worm
from worker.picture import finish_from_request, render
from worker.picture.colour import linear_from_srgb

FINISH = finish_from_request({"colour": "#3f6b2a"})


def picture(background: str, **options: object) -> NDArray[np.int64]:
    mesh = options.pop("mesh", craw())
    size = {"width": 320, "height": 240, "margin": 0.2, **options}
    image = render(*mesh, finish=FINISH, background=background, **size)  # type: ignore[misc, arg-type]
    return np.asarray(image).astype(np.int64)


def test_white_is_plain_white_and_dark_is_dark_to_the_rim() -> None:
    assert (picture("white")[[0, -1]] == 255).all()
    dark = picture("dark")
    assert dark.shape == (240, 320, 3) and dark[[0, -1]].max() < 60


def test_transparent_is_clear_outside_whole_inside_and_partial_in_the_shadow() -> None:
    image = picture("transparent")
    alpha = image[..., 3]
    assert image.shape == (240, 320, 4)
    assert (alpha[[0, -1]] == 0).all() and (image[alpha == 0] == 0).all()
    assert (alpha == 255).sum() > 3000
    shadow = (alpha > 20) & (alpha < 200)
    assert shadow.sum() > 1000
    assert image[shadow][:, :3].max(axis=1).mean() < 130, "a shadow is dark"


def test_transparent_over_white_is_the_white_picture() -> None:
    """Colours are not multiplied by alpha (PNG), so laying them over white in linear light gives the other picture."""
    clear, white = picture("transparent"), picture("white")
    curve = np.array([linear_from_srgb(i / 255) for i in range(256)])
    alpha = clear[..., 3:] / 255
    over = curve[clear[..., :3]] * alpha + (1 - alpha)
    assert np.abs(over - curve[white]).max() < 0.02
    whole = clear[..., 3] == 255
    assert np.array_equal(clear[whole][:, :3], white[whole])


def test_the_shadow_lies_under_the_bait_close_and_dark_and_fades_out() -> None:
    image = picture("white", mesh=sphere(), width=400, height=300, margin=0.3)
    clear = picture("transparent", mesh=sphere(), width=400, height=300, margin=0.3)[..., 3]
    ball = np.flatnonzero((clear == 255).any(axis=1))
    foot = ball[-1]
    light = image[..., 1]
    assert light[foot + 2, 200] < 170, "dark where it touches"
    # Below the ball along the middle the shadow only ever grows lighter.
    below = light[foot + 2 : foot + 60, 200]
    assert (np.diff(below) >= -1).all() and below[-1] > 235
    assert (light[0] == 255).all()
    above = light[: ball[0] - 4]
    assert above.min() > 235, "none in the air"


@pytest.mark.parametrize("view", ["side", "front", (200.0, 8.0)], ids=str)
def test_a_view_along_the_ground_has_a_band_of_shadow_below(view: object) -> None:
    alpha = picture("transparent", view=view, mesh=worm())[..., 3]
    rows = np.flatnonzero((alpha == 255).any(axis=1))
    below = alpha[rows[-1] + 1 :]
    assert below.max() > 15 and (below[-1] == 0).all()


def test_seen_from_below_there_is_no_ground() -> None:
    alpha = picture("transparent", view=(30.0, -40.0))[..., 3]
    edge = (alpha > 0) & (alpha < 255)
    assert (alpha == 255).sum() > 2 * edge.sum()
    assert (picture("white", view=(30.0, -40.0))[[0, 239]] == 255).all()


@pytest.mark.parametrize("margin", [0.0, 0.02, 0.06])
def test_a_narrow_margin_does_not_change_the_shadow(margin: float) -> None:
    """The same bait at the same scale: the wide frame's middle is the narrow frame, shadow and all."""
    scale = 3.0
    narrow = picture("white", view="top", width=300, height=160, margin=margin, pixels_per_mm=scale)
    wide = picture("white", view="top", width=500, height=360, margin=margin, pixels_per_mm=scale)
    assert np.abs(narrow - wide[100:260, 100:400]).max() <= 1
