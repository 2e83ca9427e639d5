"""The two thumbnails of a bait, and thumbnails of other sizes."""

from __future__ import annotations

import io

from PIL import Image

from worker.picture.camera import View
from worker.picture.scene import Prepared, draw

WIDTH, HEIGHT = 800, 600


def png_bytes(image: Image.Image) -> bytes:
    """A picture as PNG. Level 4: optimising would take ten times as long for a few percent."""
    stream = io.BytesIO()
    image.save(stream, "PNG", compress_level=4)
    return stream.getvalue()


def webp_bytes(image: Image.Image) -> bytes:
    """A picture as lossy WebP, quality 88, method 2: a tenth of the PNG in less time."""
    stream = io.BytesIO()
    image.save(stream, "WEBP", quality=88, method=2)
    return stream.getvalue()


def thumbnails(
    prepared: Prepared,
    *,
    sizes: tuple[tuple[int, int], ...] = (),
    shrunk: int = 1,
    background: str = "white",
    view: View = "three_quarter",
) -> dict[str, bytes]:
    """`thumbnail.png` and `thumbnail.webp`, 800 x 600, and a `thumbnail-{width}x{height}.webp` for each size.

    `shrunk` divides the first two's width and height. Raises ValueError like `render`.
    """
    image = draw(prepared, view=view, width=WIDTH // shrunk, height=HEIGHT // shrunk, background=background)
    files = {"thumbnail.png": png_bytes(image), "thumbnail.webp": webp_bytes(image)}
    for width, height in sizes:
        small = draw(prepared, view=view, width=width, height=height, background=background)
        files[f"thumbnail-{width}x{height}.webp"] = webp_bytes(small)
    return files
