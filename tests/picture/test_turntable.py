"""`turntable.webp`: what turns, what stays, and how much it weighs."""

from __future__ import annotations

import io

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from tests.picture.meshes import box, craw, sphere
from worker.picture import Finish, finish_from_request, prepare, turntable
from worker.picture.core import core_mesh
from worker.picture.lie import CoreShot, Laminate

RED, BLUE = (0.6, 0.01, 0.01), (0.01, 0.03, 0.6)
FLAKES = finish_from_request({"colour": "#3f6b2a", "glitter": {"colour": "#ffd700", "size_mm": 0.8, "per_cm3": 120}})


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def frames(content: bytes) -> list[NDArray[np.int64]]:
    image = opened(content)
    found = []
    for number in range(image.n_frames):  # type: ignore[attr-defined]
        image.seek(number)
        found.append(np.asarray(image.convert("RGBA")).astype(np.int64))
    return found


def test_it_is_an_animated_webp_that_goes_on_turning_in_the_time_asked_for() -> None:
    """RFC 9649: the ANIM chunk's loop count 0 is for ever, each ANMF has its duration in ms."""
    files = turntable(prepare(*craw(), FLAKES), (160, 100), 12, 3.0, "white")
    assert list(files) == ["turntable.webp"]
    image = opened(files["turntable.webp"])
    assert (image.format, image.size, image.n_frames, image.info["loop"]) == ("WEBP", (160, 100), 12, 0)  # type: ignore[attr-defined]
    image.seek(1)
    image.load()
    assert image.info["duration"] == pytest.approx(3000 / 12, abs=1)


def test_half_a_turn_brings_the_belly_up() -> None:
    finish = Finish(RED, translucency=0.0, lie=Laminate((RED, BLUE), (0.0,)))
    shown = frames(turntable(prepare(*sphere(), finish), (120, 120), 8, 2.0, "transparent")["turntable.webp"])
    for number, over, under in ((0, 0, 2), (4, 2, 0)):
        top, bottom = shown[number][38, 60, :3], shown[number][88, 60, :3]
        assert top.argmax() == over and bottom.argmax() == under


def test_the_frame_stands_still_while_a_flat_bait_turns_in_it() -> None:
    """A strip of 40 by 12 by 1.5 mm is high in the picture where its flat side faces the eye; its ends stay."""
    shown = frames(
        turntable(prepare(*box(40, 12, 1.5), Finish(RED)), (200, 120), 16, 2.0, "transparent")["turntable.webp"]
    )
    solid = [each[..., 3] > 250 for each in shown]
    high = [int(np.ptp(np.flatnonzero(each.any(axis=1)))) for each in solid]
    assert max(high) > 2 * min(high) and max(high) < 120
    middles = [np.flatnonzero(each.any(axis=0)).mean() for each in solid]
    assert np.ptp(middles) < 6


def test_a_hanging_bait_turns_about_the_upright() -> None:
    vertices, triangles = box(12, 4, 40)
    prepared = prepare(vertices, triangles, Finish(RED), vertices[:, 2], floats=True)
    shown = frames(turntable(prepared, (120, 160), 8, 2.0, "transparent")["turntable.webp"])
    high = [int(np.ptp(np.flatnonzero((each[..., 3] > 250).any(axis=1)))) for each in shown]
    wide = [int(np.ptp(np.flatnonzero((each[..., 3] > 250).any(axis=0)))) for each in shown]
    assert np.ptp(high) < 0.15 * max(high) and max(wide) > 1.6 * min(wide)


def test_flakes_and_core_turn_with_the_bait() -> None:
    """A core that lies over the middle lies under it after half a turn."""
    line = np.stack([np.linspace(6, 14, 9), np.zeros(9), np.full(9, 4.0)], axis=1)
    lie = CoreShot(((0.7, 0.7, 0.65), RED), *core_mesh(line, 1.5))
    finish = Finish((0.7, 0.7, 0.65), translucency=0.95, lie=lie)
    shown = frames(turntable(prepare(*sphere(), finish), (120, 120), 8, 2.0, "white")["turntable.webp"])
    redness = [(each[..., 0] - each[..., 2]) for each in shown]
    upper, lower = ([float(each[rows].mean()) for each in redness] for rows in (slice(20, 55), slice(65, 100)))
    assert upper[0] > 1.3 * upper[4] and lower[4] > 1.1 * lower[0]


def test_it_weighs_no_more_than_it_may() -> None:
    """At the largest size and number of frames, full of flakes."""
    finish = finish_from_request(
        {"colour": "#8a8f8c", "glitter": {"colour": "#ffffff", "size_mm": 0.5, "per_cm3": 1500}}
    )
    content = turntable(prepare(*sphere(), finish), (240, 240), 8, 2.0, "white")["turntable.webp"]
    assert len(content) < 8 / 36 * 2_000_000
