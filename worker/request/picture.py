"""The member `picture` of a request: sizes, ground, pose, view and turntable.

What is as by default stays out of the normal form, so that a request that says so and one that says nothing are one
bait; `pictured` writes the defaults again for whoever draws.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.request.composed import ListField, ObjectField, StrictSchema, schema
from worker.request.fields import ParameterField
from worker.values import pictures as p

Size = tuple[int, int]


class _Said(StrictSchema):
    """Members that are as by default are left out again."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        return {name: value for name, value in data.items() if value != _DEFAULTS[name]}


class _Picture(_Said):
    """Sizes are a set: sorted, each once."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        sizes = sorted({(each["width"], each["height"]) for each in data["sizes"]})
        read = {**data, "sizes": [{"width": width, "height": height} for width, height in sizes]}
        return super().whole(read)


_TURN = (p.TURN_WIDTH, p.TURN_HEIGHT, p.FRAMES, p.SECONDS)
_LOOKS = (p.GROUND, p.POSE, p.VIEW)
_DEFAULTS: dict[str, Any] = {
    "sizes": [],
    "turntable": {},
    **{each.name: each.default for each in (*_TURN, *_LOOKS)},
}

_SIZE = schema(width=ParameterField(p.WIDTH, required=True), height=ParameterField(p.HEIGHT, required=True))
PICTURE = schema(
    _Picture,
    sizes=ListField(
        ObjectField(_SIZE),
        0,
        p.MOST_SIZES,
        "Sizes",
        "Further thumbnails, each a thumbnail-{width}x{height}.webp beside the two of 800 x 600.",
        default=[],
    ),
    **{each.name: ParameterField(each) for each in _LOOKS},
    turntable=ObjectField(
        schema(_Said, **{each.name: ParameterField(each) for each in _TURN}),
        "Turntable",
        "The size and pace of the output turntable.",
    ),
)
PICTURE_MEMBER = ObjectField(PICTURE, "Picture", "How thumbnails and the turntable show the bait.", absent=True)


@dataclass(frozen=True, slots=True)
class Pictured:
    """The member with its defaults: sizes and the turntable's size in pixels, seconds of a turn."""

    sizes: tuple[Size, ...]
    ground: str
    pose: str
    view: str
    turn_size: Size
    turn_frames: int
    turn_seconds: float


def pictured(normal: Mapping[str, Any]) -> Pictured:
    """What a request in normal form says of its pictures."""
    asked = normal.get("picture", {})
    turn = {each.name: asked.get("turntable", {}).get(each.name, each.default) for each in _TURN}
    looks = {each.name: str(asked.get(each.name, each.default)) for each in _LOOKS}
    return Pictured(
        sizes=tuple((each["width"], each["height"]) for each in asked.get("sizes", [])),
        turn_size=(turn["width"], turn["height"]),
        turn_frames=turn["frames"],
        turn_seconds=float(turn["seconds"]),
        **looks,
    )
