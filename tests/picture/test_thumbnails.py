"""The files that a bait's picture becomes."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from tests.picture.meshes import craw, worm
from worker.picture import finish_from_request, prepare, render, thumbnails

FINISH = finish_from_request({"colour": "#6b8e23", "glitter": {"colour": "#ffd700", "size_mm": 0.6, "per_cm3": 40}})


def test_two_files_of_800_by_600_show_the_rendered_picture() -> None:
    files = thumbnails(prepare(*worm(), FINISH))
    assert sorted(files) == ["thumbnail.png", "thumbnail.webp"]
    images = {name: Image.open(io.BytesIO(content)) for name, content in files.items()}
    assert {image.size for image in images.values()} == {(800, 600)}
    assert [images[f"thumbnail.{kind}"].format for kind in ("png", "webp")] == ["PNG", "WEBP"]
    drawn = np.asarray(render(*worm(), finish=FINISH))
    assert np.array_equal(np.asarray(images["thumbnail.png"]), drawn)
    lossy = np.asarray(images["thumbnail.webp"].convert("RGB")).astype(int)
    assert np.abs(lossy - drawn).mean() < 1.5


def test_other_sizes_are_named_by_their_size() -> None:
    files = thumbnails(prepare(*craw(), FINISH), sizes=((256, 192), (100, 75)))
    assert set(files) - {"thumbnail.png", "thumbnail.webp"} == {
        "thumbnail-256x192.webp",
        "thumbnail-100x75.webp",
    }
    assert Image.open(io.BytesIO(files["thumbnail-100x75.webp"])).size == (100, 75)


def test_files_are_small_enough_for_a_list_of_goods() -> None:
    files = thumbnails(prepare(*craw(), FINISH))
    assert len(files["thumbnail.webp"]) < 40_000 and len(files["thumbnail.png"]) < 300_000


def test_a_transparent_thumbnail_has_an_alpha_channel() -> None:
    files = thumbnails(prepare(*craw(), FINISH), background="transparent")
    assert Image.open(io.BytesIO(files["thumbnail.png"])).mode == "RGBA"
    assert Image.open(io.BytesIO(files["thumbnail.webp"])).mode == "RGBA"
