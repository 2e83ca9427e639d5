"""Does it look like glossy plastic of the colour that was asked for?"""

from __future__ import annotations

import math

import numpy as np
import pytest
from coloraide import Color
from numpy.typing import NDArray

from tests.picture.meshes import craw, sphere, thin_rod, worm
from worker.picture import finish_from_request, render

COLOURS = {
    "white": "#ffffff",
    "black": "#000000",
    "clear grey": "#d9dcd4",
    "smoke": "#77787a",
    "bright green": "#7fff00",
    "bright yellow": "#e6ff00",
    "red": "#cc1122",
    "pure red": "#ff0000",
    "blue": "#1133cc",
    "pure blue": "#0000ff",
    "brown": "#b5651d",
    "deep green": "#3f6b2a",
    "purple": "#5a2a7a",
    "pink": "#ff69b4",
}

# The direction to the main lamp in the picture's right, up, towards: above, left and in front.
LAMP = np.array([-0.42, 0.80, 0.62]) / math.sqrt(0.42**2 + 0.80**2 + 0.62**2)
HALFWAY = LAMP + np.array([0.0, 0.0, 1.0])
HALFWAY /= np.linalg.norm(HALFWAY)

SIDE = 240


def pixels(mesh: tuple[NDArray[np.float64], NDArray[np.int64]], colour: str, **options: object) -> NDArray[np.int64]:
    image = render(*mesh, finish=finish_from_request({"colour": colour}), **options)  # type: ignore[arg-type]
    return np.asarray(image).astype(np.int64)


def normals_of_the_ball() -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Normals of a ball that fills SIDE pixels less the margin, and where it stands."""
    radius = (SIDE * 0.88 - 2) / 2
    down, over = np.mgrid[:SIDE, :SIDE]
    x, y = (over + 0.5 - SIDE / 2) / radius, -(down + 0.5 - SIDE / 2) / radius
    flat = x * x + y * y
    return np.stack([x, y, np.sqrt(np.clip(1 - flat, 0, 1))], axis=-1), flat < 0.92


def far_from(colour: str, pixel: NDArray[np.float64]) -> float:
    """Difference by CIEDE2000 (CIE 142-2001)."""
    return float(Color("srgb", [float(q) / 255 for q in pixel]).delta_e(Color(colour), method="2000"))


def lightness(image: NDArray[np.int64]) -> NDArray[np.float64]:
    light: NDArray[np.float64] = image[..., :3] @ np.array([0.2126, 0.7152, 0.0722])
    return light


@pytest.mark.parametrize("colour", COLOURS.values(), ids=COLOURS.keys())
def test_the_diffuse_lit_part_has_the_colour_that_was_asked_for(colour: str) -> None:
    image = pixels(sphere(), colour, view="side", width=SIDE, height=SIDE)
    normal, ball = normals_of_the_ball()
    lit = ball & (normal @ LAMP > 0.3) & (normal @ HALFWAY < 0.9)
    assert far_from(colour, np.median(image[lit], axis=0)) < 5


@pytest.mark.parametrize("colour", COLOURS.values(), ids=COLOURS.keys())
@pytest.mark.parametrize("mesh", [worm(), craw(), thin_rod()], ids=["worm", "craw", "rod"])
def test_a_whole_bait_reads_as_its_colour(mesh: tuple, colour: str) -> None:  # type: ignore[type-arg]
    """The median over all of it, shaded side and highlights included."""
    image = pixels(mesh, colour, width=320, height=240, background="transparent")
    bait = image[image[..., 3] == 255][:, :3]
    assert far_from(colour, np.median(bait, axis=0)) < 8


@pytest.mark.parametrize("colour", COLOURS.values(), ids=COLOURS.keys())
def test_a_highlight_stands_where_the_lamp_is_mirrored(colour: str) -> None:
    image = pixels(sphere(), colour, view="side", width=SIDE, height=SIDE)
    normal, ball = normals_of_the_ball()
    spot = lightness(image)[ball & (normal @ HALFWAY > 0.995)]
    around = lightness(image)[ball & (normal @ HALFWAY < 0.9)]
    assert spot.min() > 175
    assert spot.mean() > np.percentile(around, 95)
    assert image[ball & (normal @ HALFWAY > 0.995)].min() > 140, "a highlight is whitish, whatever the colour"


def test_the_side_away_from_the_lamp_is_darker() -> None:
    image = pixels(sphere(), "#b5651d", view="side", width=SIDE, height=SIDE)
    normal, ball = normals_of_the_ball()
    facing = lightness(image)[ball & (normal @ LAMP > 0.5)].mean()
    averted = lightness(image)[ball & (normal @ LAMP < -0.1)].mean()
    assert averted < 0.85 * facing


def test_thin_places_let_light_through_in_translucent_plastic_and_not_in_opaque() -> None:
    """A rod of 2 mm against the body it lies beside: the ratio of their medians grows with translucency."""
    wide, thin = sphere(6.0), thin_rod(40.0, 0.8)
    vertices = np.concatenate([wide[0], thin[0] + [-10, -14, -4]])
    triangles = np.concatenate([wide[1], thin[1] + len(wide[0])])
    ratios = []
    for translucency in (0.0, 0.9):
        finish = finish_from_request({"colour": "#6b4a1d", "translucency": translucency})
        image = np.asarray(
            render(
                vertices,
                triangles,
                finish=finish,
                view="top",
                width=400,
                height=300,
                background="transparent",
            )
        ).astype(np.int64)
        # The ball's outline ends 8 mm above the rod's; in the view from above the rod is the lower band.
        rows = np.flatnonzero((image[..., 3] == 255).any(axis=1))
        rod, ball = image[rows[-8] : rows[-1] - 1], image[rows[0] + 30 : rows[0] + 90]
        ratios.append(np.median(lightness(rod)[rod[..., 3] == 255]) / np.median(lightness(ball)[ball[..., 3] == 255]))
    assert ratios[1] > 1.1 * ratios[0]
