"""How finishes look: `python -m demo_requests.finish_sheets [OUT]` draws styles over finishes and grounds, and poses.

The sheet beside this file is what the code drew last; looked at by eye, as README.md tells.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from worker.checks.subject import Subject
from worker.picture import draw
from worker.picture.lettering import write
from worker.picture.turntable import VIEW, turned
from worker.request import read_request
from worker.showing import shown
from worker.solid.join import joined

HERE = Path(__file__).parent
SIZE, WORDS = (208, 156), 18
GROUNDS = ("white", "dark", "transparent")
CHECKS = ("#c9ccd2", "#e8eaee")
"""Squares under what is transparent."""

_GOLD = {"colour": "gold", "size_mm": 0.6, "per_cm3": 60}


def _laminate(*colours: str) -> dict[str, Any]:
    return {"method": "laminate", "colours": [{"colour": each} for each in colours]}


FINISHES: tuple[tuple[str, dict[str, Any], dict[str, Any] | None], ...] = (
    ("fluorescent, gold flakes", {"colour": "#c6f000", "fluorescent": True, "glitter": _GOLD}, None),
    ("fluorescent, clear", {"colour": "#ff6a13", "fluorescent": True, "translucency": 0.9}, None),
    ("clear smoke, silver flakes", {"colour": "#8a8f8c", "glitter": {**_GOLD, "colour": "#dfe6ee"}}, None),
    ("opaque white", {"colour": "#f7f5ee", "translucency": 0.1}, None),
    ("dark olive, red flakes", {"colour": "#3f4a1e", "glitter": {**_GOLD, "colour": "#e03a1c"}}, None),
    ("black, blue flakes", {"colour": "#0c0c10", "glitter": {**_GOLD, "colour": "#3f7bff"}}, None),
    ("laminate of two", {}, _laminate("#39401c", "#d9d64a")),
    ("laminate of three", {}, _laminate("#2c3550", "#cfd6da", "#f2efe6")),
    (
        "core shot",
        {"translucency": 0.9},
        {"method": "core_shot", "core_diameter": 3.5, "colours": [{"colour": "#dfe3d2"}, {"colour": "#ff4d1a"}]},
    ),
)
STYLES = ("ribbed_worm", "craw", "paddle_tail", "creature")


def main(out: Path) -> None:
    """One sheet: a row a finish, its columns styles by turns over the grounds, then drooping and turned."""
    columns = [*((style, ground) for style in STYLES[:2] for ground in GROUNDS), *((s, "white") for s in STYLES[2:])]
    wide, tall = SIZE[0] * (len(columns) + 2), (SIZE[1] + WORDS) * len(FINISHES)
    sheet = Image.new("RGB", (wide, tall), "white")
    pen = ImageDraw.Draw(sheet)
    for row, (words, finish, shot) in enumerate(FINISHES):
        top = row * (SIZE[1] + WORDS)
        write(pen, (6, top + WORDS - 4), words, 14, "#23291f")
        for column, (style, ground) in enumerate([*columns, ("stick_worm", "drooping"), ("stick_worm", "turned")]):
            sheet.paste(_cell(style, ground, finish, shot), (column * SIZE[0], top + WORDS))
    sheet.save(out / "finish_sheet.webp", quality=76, method=4)


_SOLIDS: dict[str, Any] = {}


def _cell(style: str, ground: str, finish: dict[str, Any], shot: dict[str, Any] | None) -> Image.Image:
    request = read_request({"style": style, "finish": finish, **({} if shot is None else {"shot": shot})})
    subject = Subject(request)
    if style not in _SOLIDS:
        _SOLIDS[style] = joined(subject.strands, request.tolerance, subject.hollows)
    solid = _SOLIDS[style]
    width, height = SIZE
    if ground == "drooping":
        prepared = shown(subject, solid, "drooping").prepared
        return draw(prepared, view="side", width=width, height=height, background="dark")
    if ground == "turned":
        prepared = turned(shown(subject, solid).prepared, 2.6)
        return draw(prepared, view=VIEW, width=width, height=height)
    picture = draw(shown(subject, solid).prepared, width=width, height=height, background=ground)
    if ground != "transparent":
        return picture
    under = Image.new("RGB", SIZE, CHECKS[0])
    pen = ImageDraw.Draw(under)
    for x in range(0, width, 16):
        for y in range((x // 16 % 2) * 16, height, 32):
            pen.rectangle((x, y, x + 15, y + 15), fill=CHECKS[1])
    under.paste(picture, (0, 0), picture)
    return under


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
