"""Baits of several plastics: where one ends, what of a core is seen, and that fluorescent ones shine at their edges."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from scipy.optimize import brentq

from tests.picture.meshes import box, sphere, thin_rod
from worker.picture import Finish, draw, finish_from_request, prepare, thumbnails
from worker.picture.colour import linear_from_hex
from worker.picture.core import core_mesh
from worker.picture.lie import CoreShot, Laminate
from worker.picture.shares import heights_of_shares

RED, BLUE, GREEN = (linear_from_hex(text) for text in ("#d01818", "#1830d0", "#18a030"))
RADIUS = 10.0


def laminate(*colours: tuple[float, float, float], heights: tuple[float, ...]) -> Finish:
    return Finish(colours[0], translucency=0.0, lie=Laminate(colours, heights))


def side(finish: Finish, mesh: tuple[NDArray[np.float64], NDArray[np.int64]], size: int = 200) -> NDArray[np.int64]:
    image = draw(prepare(*mesh, finish), view="side", width=size, height=size, background="transparent")
    return np.asarray(image).astype(np.int64)


@pytest.mark.parametrize("share", [0.1, 0.35, 0.5, 0.8])
def test_a_share_of_a_balls_volume_lies_over_a_cap_of_that_volume(share: float) -> None:
    """V = pi h^2 (3 r - h) / 3 of a cap of height h (CRC Standard Mathematical Tables, solids)."""
    wanted = share * 4 / 3 * math.pi * RADIUS**3
    cap = brentq(lambda h: math.pi * h * h * (3 * RADIUS - h) / 3 - wanted, 0, 2 * RADIUS)
    (height,) = heights_of_shares(*sphere(RADIUS), [share, 1 - share])
    assert height == pytest.approx(RADIUS - cap, abs=0.05)


def test_shares_of_a_block_are_shares_of_its_height_wherever_it_lies() -> None:
    vertices, triangles = box(40, 8, 10)
    heights = heights_of_shares(vertices + np.array([0, 0, 7]), triangles, [0.5, 0.2, 0.3])
    assert heights == pytest.approx((7.0, 5.0), abs=0.02)


def test_each_colour_stands_where_its_plastic_lies() -> None:
    """From the side a ball of 20 mm is 174 pixels high: what is over 5 mm is red, what is under -2 mm green."""
    image = side(laminate(RED, BLUE, GREEN, heights=(5.0, -2.0)), sphere(RADIUS))
    column = image[:, 100]
    rows = np.flatnonzero(column[:, 3] == 255)
    height = RADIUS - (rows - rows[0] + 0.5) * 2 * RADIUS / len(rows)
    strongest = column[rows, :3].argmax(axis=1)
    assert (strongest[height > 5.5] == 0).all()
    assert (strongest[(height < 4.5) & (height > -1.5)] == 2).all()
    assert (strongest[height < -2.5] == 1).all()


def test_a_bait_of_one_plastic_looks_the_same_as_a_laminate_of_it() -> None:
    plain, twice = Finish(RED), Finish(RED, lie=Laminate((RED, RED), (0.0,)))
    assert np.abs(side(plain, sphere()) - side(twice, sphere())).max() <= 1


def cored(skin: str, translucency: float) -> NDArray[np.int64]:
    colour = linear_from_hex(skin)
    line = np.stack([np.linspace(15, 45, 31), np.zeros(31), np.zeros(31)], axis=1)
    lie = CoreShot((colour, RED), *core_mesh(line, 1.5))
    image = side(Finish(colour, translucency=translucency, lie=lie), thin_rod(60.0, 3.5), 240)
    return image[118:122]


def redness(pixels: NDArray[np.int64]) -> float:
    return float((pixels[..., 0] - pixels[..., 2]).mean())


def test_a_core_is_seen_through_clear_skin_where_it_lies_and_not_through_opaque() -> None:
    clear, opaque = cored("#d8dcd0", 0.9), cored("#d8dcd0", 0.0)
    # 60 mm over 240 pixels less a margin of 6 % and two: the core's middle in the picture's, its end 15 mm off.
    middle, ahead = slice(110, 130), slice(22, 40)
    assert redness(clear[:, middle]) > redness(clear[:, ahead]) + 40
    assert abs(redness(opaque[:, middle]) - redness(opaque[:, ahead])) < 6


def test_a_core_does_not_show_beyond_its_ends() -> None:
    clear = cored("#d8dcd0", 0.9)
    plain = side(Finish(linear_from_hex("#d8dcd0"), translucency=0.9), thin_rod(60.0, 3.5), 240)[118:122]
    assert np.abs(clear[:, 20:40] - plain[:, 20:40]).max() <= 3


def test_the_mesh_of_a_core_is_closed_and_has_its_volume() -> None:
    """pi r^2 l + 4/3 pi r^3, of which a ring of 24 corners holds 24 / (2 pi) sin(2 pi / 24) = 0.9886."""
    points, faces = core_mesh(np.stack([np.linspace(0, 30, 16), np.zeros(16), np.zeros(16)], axis=1), 2.0)
    edges = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()
    a, b, c = (points[faces[:, slot]] for slot in range(3))
    volume = float((a * np.cross(b, c)).sum()) / 6
    exact = math.pi * 4 * 30 + 4 / 3 * math.pi * 8
    assert 0.97 * exact < volume < exact


def test_a_fluorescent_plastic_shines_at_its_edges() -> None:
    """Its dye's light is caught inside by the skin and comes out at edges, which shine as those of a sheet of such
    plastic do: even the one away from the lamp is as bright as the middle, where without the dye it is darker."""
    finish = finish_from_request({"colour": "#d06a20", "translucency": 0.6})
    ratios = []
    for each in (finish, replace(finish, fluorescent=True)):
        image = side(each, thin_rod(40.0, 3.0), 300)
        column = image[:, 150]
        rows = np.flatnonzero(column[:, 3] == 255)
        green = column[rows, 1].astype(float)  # of orange the channel that has room above
        ratios.append(green[-3:].mean() / np.median(green))
    assert ratios[0] < 0.95 and ratios[1] > 0.98


def test_a_fluorescent_bait_still_has_its_colour() -> None:
    from coloraide import Color

    image = side(finish_from_request({"colour": "#e05a10", "fluorescent": True}), sphere())
    middle = np.median(image[image[..., 3] == 255][:, :3], axis=0) / 255
    assert Color("srgb", middle.tolist()).delta_e("#e05a10", method="2000") < 8


def test_thumbnails_show_a_laminate_on_every_ground() -> None:
    prepared = prepare(*sphere(), laminate(RED, BLUE, heights=(0.0,)))
    for ground in ("white", "dark", "transparent"):
        files = thumbnails(prepared, sizes=((64, 48),), shrunk=4, background=ground, view="side")
        small = np.asarray(Image.open(io.BytesIO(files["thumbnail.png"])).convert("RGB")).astype(int)
        assert small[45, 100, 0] > small[45, 100, 2] and small[110, 100, 0] < small[110, 100, 2]
