"""What a request may say of its pictures: one bait however it is written, and every fault at once."""

from __future__ import annotations

import io
from typing import Any

import pytest
from PIL import Image

from worker.build import build
from worker.errors import InvalidRequest
from worker.files.table import kind_of_file
from worker.request import read_request

PLAIN: dict[str, Any] = {"style": "beaded_worm", "detail": "coarse", "outputs": ["thumbnail"]}


def asked(**members: Any) -> Any:
    return read_request({**PLAIN, **members})


@pytest.mark.parametrize(
    "same",
    [
        {"picture": {}},
        {"picture": {"ground": "white", "pose": "moulded", "view": "three_quarter", "sizes": []}},
        {"picture": {"turntable": {"width": 480, "height": 240, "frames": 24, "seconds": 3}}},
        {"finish": {"fluorescent": False}},
    ],
)
def test_defaults_written_or_not_are_one_bait(same: dict[str, Any]) -> None:
    assert asked(**same).normal == asked().normal
    assert asked(**same).id == asked().id


def test_sizes_are_a_set() -> None:
    small, large = {"width": 100, "height": 75}, {"width": 640, "height": 480.0}
    first, second = (asked(picture={"sizes": sizes}) for sizes in ([small, large, small], [large, small]))
    assert first.id == second.id != asked().id
    assert first.normal["picture"] == {"sizes": [small, {"width": 640, "height": 480}]}


@pytest.mark.parametrize(
    "other",
    [
        {"picture": {"ground": "dark"}},
        {"picture": {"pose": "drooping"}},
        {"picture": {"view": "top"}},
        {"picture": {"turntable": {"frames": 12}}},
        {"finish": {"fluorescent": True}},
        {"finish": {"translucency": 0.5}},
    ],
)
def test_another_picture_is_another_bait(other: dict[str, Any]) -> None:
    assert asked(**other).id != asked().id


def test_every_fault_is_told_where_it_is() -> None:
    sizes = [{"width": 15, "height": 192}, {"width": 256}, {"width": 256, "height": 1201}]
    picture = {"sizes": sizes, "ground": "grass", "pose": None, "turntable": {"frames": 500, "wide": 3}, "zoom": 2}
    with pytest.raises(InvalidRequest) as caught:
        asked(picture=picture, finish={"translucency": 1.5, "fluorescent": "yes"})
    assert sorted(fault.pointer for fault in caught.value.faults) == [
        "/finish/fluorescent",
        "/finish/translucency",
        "/picture/ground",
        "/picture/pose",
        "/picture/sizes/0/width",
        "/picture/sizes/1/height",
        "/picture/sizes/2/height",
        "/picture/turntable/frames",
        "/picture/turntable/wide",
        "/picture/zoom",
    ]
    wide = next(fault for fault in caught.value.faults if fault.pointer == "/picture/sizes/0/width")
    assert wide.allowed == {"minimum": 16, "maximum": 1200, "unit": "px", "whole": True}


def test_files_come_in_the_sizes_asked_for_on_the_ground_asked_for() -> None:
    sizes = [{"width": 256, "height": 192}, {"width": 64, "height": 64}]
    picture = {"sizes": sizes, "ground": "transparent", "turntable": {"width": 96, "height": 64, "frames": 8}}
    files = build(asked(picture=picture, outputs=["thumbnail", "turntable"])).files
    opened = {name: Image.open(io.BytesIO(files[name])) for name in files if name != "metrics.json"}
    assert {name: image.size for name, image in opened.items()} == {
        "thumbnail.png": (400, 300),
        "thumbnail.webp": (400, 300),
        "thumbnail-256x192.webp": (256, 192),
        "thumbnail-64x64.webp": (64, 64),
        "turntable.webp": (96, 64),
    }
    assert {image.mode for image in opened.values()} == {"RGBA"}
    assert {kind_of_file(name).output for name in opened} == {"thumbnail", "turntable"}


@pytest.mark.parametrize("name", ["thumbnail-9x10.webp", "thumbnail-0100x100.webp", "thumbnail-100x100.png", "a/b"])
def test_no_other_name_is_a_thumbnails(name: str) -> None:
    with pytest.raises(KeyError):
        kind_of_file(name)


def test_a_bait_is_shown_in_the_colours_that_are_poured() -> None:
    """A laminate's back and belly; where the shot tells no colours, the finish's."""
    shot = {"method": "laminate", "colours": [{"colour": "#c01010"}, {"colour": "#1010c0"}]}
    view = {"view": "side", "ground": "transparent"}
    pixels = {}
    for name, members in (("plain", {}), ("laminate", {"shot": shot})):
        finish = {"colour": "#10a010", "translucency": 0.1}
        files = build(asked(picture=view, finish=finish, **members)).files
        image = Image.open(io.BytesIO(files["thumbnail.png"])).convert("RGBA")
        box = image.getchannel("A").point(lambda alpha: 255 * (alpha > 250)).getbbox()
        assert box is not None
        middle, high = (box[0] + box[2]) // 2, box[3] - box[1]
        rows = (box[1] + high // 4, box[3] - high // 4)
        strongest = [max(range(3), key=image.getpixel((middle, row)).__getitem__) for row in rows]  # type: ignore[union-attr]
        pixels[name] = strongest
    assert pixels == {"plain": [1, 1], "laminate": [0, 2]}
