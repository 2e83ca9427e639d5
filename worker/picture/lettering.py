"""Words on a picture, in the one typeface that comes with Pillow, the same to the pixel everywhere.

The typeface is Aileron (CC0), which Pillow carries in its own wheel with the rasteriser that draws it, so no font of
the machine's is ever looked for. The basic layout is asked for by name: the other one is used only where a library
of the machine's is found.
"""

from __future__ import annotations

from functools import cache

from PIL import ImageDraw, ImageFont


def write(
    draw: ImageDraw.ImageDraw, place: tuple[int, int], text: str, size: int, ink: str, *, anchor: str = "ls"
) -> None:
    """Writes printable ASCII, `size` pixels high; `anchor` as in Pillow, "ls": left end of the base line."""
    draw.text(place, text, fill=ink, font=_face(size), anchor=anchor)


def width_of(text: str, size: int) -> int:
    """Pixels that a text takes across."""
    return round(_face(size).getlength(text))


@cache
def _face(size: int) -> ImageFont.FreeTypeFont:
    face = ImageFont.load_default(size)
    # Without its rasteriser Pillow would fall back to a face of fixed size; its wheels all have it.
    assert isinstance(face, ImageFont.FreeTypeFont) and face.layout_engine is ImageFont.Layout.BASIC
    return face
