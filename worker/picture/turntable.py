"""`turntable.webp`: one turn of a bait as an animated WebP (RFC 9649) that goes on turning."""

from __future__ import annotations

import io
import math
from dataclasses import replace

from PIL import Image

from worker.picture.camera import extent
from worker.picture.glitter import turned_flakes
from worker.picture.lie import CoreShot
from worker.picture.scene import Prepared, draw
from worker.picture.vector import turned_rows

VIEW = (24.0, 14.0)
"""Azimuth and elevation, degrees: nose left, a little from its side and from above."""

MOST_BYTES = 2_000_000
"""What a turntable may weigh; where it would weigh more it is written more coarsely."""

_QUALITIES = (82, 70, 55, 40, 25)


def turntable(
    prepared: Prepared, size: tuple[int, int], frames: int, seconds: float, background: str
) -> dict[str, bytes]:
    """`turntable.webp` of `frames` pictures of `size` pixels; a turn takes `seconds`.

    A bait that lies turns about its long axis, one that hangs about the upright. Raises ValueError like `draw`.
    """
    width, height = size
    turns = [turned(prepared, 2 * math.pi * number / frames) for number in range(frames)]
    extents = [extent(each.body, VIEW) for each in turns]
    bounds = (
        min(each[0] for each in extents),
        max(each[1] for each in extents),
        min(each[2] for each in extents),
        max(each[3] for each in extents),
    )
    pictures = [
        draw(each, view=VIEW, width=width, height=height, background=background, bounds=bounds) for each in turns
    ]
    return {"turntable.webp": _encoded(pictures, max(1, round(1000 * seconds / frames)))}


def turned(prepared: Prepared, angle: float) -> Prepared:
    """A bait, with its glitter and its core, after a turn by `angle` radians."""
    upright, finish = prepared.body.floats, prepared.finish
    if isinstance(finish.lie, CoreShot):
        vertices = turned_rows(finish.lie.vertices - prepared.body.shift, angle, upright)
        finish = replace(finish, lie=replace(finish.lie, vertices=vertices + prepared.body.shift))
    flakes = None if prepared.flakes is None else turned_flakes(prepared.flakes, angle, upright)
    return Prepared(prepared.body.turned(angle, upright), finish, flakes)


def _encoded(pictures: list[Image.Image], milliseconds: int) -> bytes:
    """The frames as one file of at most `MOST_BYTES`, as finely as that allows."""
    content = b""
    for quality in _QUALITIES:
        stream = io.BytesIO()
        pictures[0].save(
            stream,
            "WEBP",
            save_all=True,
            append_images=pictures[1:],
            duration=milliseconds,
            loop=0,
            quality=quality,
            method=2,
            minimize_size=False,
        )
        content = stream.getvalue()
        if len(content) <= MOST_BYTES:
            break
    return content
