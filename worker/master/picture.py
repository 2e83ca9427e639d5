"""`master.svg`: the master from above and from the side, its thin places numbered, and how it prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.drawing.layers import layers
from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS, View, flat
from worker.drawing.svg import document, line, number, words
from worker.master.figures import ThinPlace, thin_places
from worker.plots.page import STYLE, WIDTH
from worker.strands.roots import Array
from worker.values.shrinkage import master_scale

LEFT, TOP, WIDEST, TALLEST = 96.0, 92.0, 830.0, 420.0
"""Pixels: where the views begin, and how much room they have together."""
BETWEEN, MARK = 44.0, 9.0
"""Pixels between the views, and the radius of a number's ring."""
_SAG = 0.05
SHEET = STYLE + ".ring{fill:#fff;stroke:#111;stroke-width:1.4px}.dot{fill:#111}.thin{stroke-width:2.6px}"


def master_svg(subject: Subject, metrics: Mapping[str, Any]) -> bytes:
    """The drawing of a master whose bait's `metrics` are given; the same bytes for the same figures."""
    told = metrics["master"]
    scale_mm = master_scale(subject.request.normal)
    shape = Shape(subject.strands, subject.hollows)
    boxes = {view: shape.box(view, _SAG) for view in VIEWS}
    begin, end = min(box[0] for box in boxes.values()), max(box[1] for box in boxes.values())
    tall = sum(box[3] - box[2] for box in boxes.values())
    scale = min(WIDEST / (end - begin), TALLEST / tall)
    title = (
        f"The master: {told['length_mm']:.4g} by {told['width_mm']:.4g} by {told['height_mm']:.4g} mm, "
        f"{scale_mm:.4f} times the bait"
    )
    drawn, y = [words(24, 34, title, "head"), words(24, 58, _below_title(told), "told")], TOP
    places = thin_places(subject)
    for view, box in boxes.items():
        place = partial(_placed, (begin, box[2]), scale, y)
        drawn.append(words(24, y + (box[3] - box[2]) * scale / 2 + 4, "Above" if view == "top" else "Side", "note"))
        drawn += layers(shape, view, scale, place)
        drawn += _marks(places, view, place, y, y + (box[3] - box[2]) * scale, told)
        y += (box[3] - box[2]) * scale + BETWEEN
    for row in _rows(told, subject.request.normal["print"]):
        drawn.append(words(24, y, row, "told"))
        y += 22
    return document(WIDTH, y + 4, "The master", drawn, SHEET).encode()


def _placed(corner: tuple[float, float], scale: float, top: float, points: Array) -> Array:
    return np.asarray((points - np.array(corner)) * scale + np.array([LEFT, top]))


def _below_title(told: Mapping[str, Any]) -> str:
    steps = [f"{each['of']} {each['per_cent']:g} %" for each in told["shrinkages"]]
    return f"Larger by what shrinks after it: {', '.join(steps)}. Least wall that prints: {told['least_wall_mm']:g} mm."


def _marks(
    places: list[ThinPlace], view: View, place: Any, top: float, bottom: float, told: Mapping[str, Any]
) -> Iterator[str]:
    """Numbers above or below the view, wherever is nearer, clear of each other, with a line to their places."""
    rows = {True: [], False: []}  # type: dict[bool, list[tuple[float, float, ThinPlace]]]
    for each in places:
        x, y = place(flat(np.array([each.at]), view))[0].tolist()
        # What lies in the middle goes above, whatever its last bits are.
        rows[round(y - top, 2) <= round(bottom - y, 2)].append((x, y, each))
    for above, marks in rows.items():
        level = top - 2 * MARK if above else bottom + 2 * MARK
        clear = -np.inf
        for x, y, each in sorted(marks, key=lambda mark: (round(mark[0], 1), mark[2].number)):
            at = max(x, clear + 2 * MARK + 3)
            clear = at
            prints = told["thin_places"][each.number - 1]["prints"]
            yield line(np.array([[x, y], [at, level + (MARK if above else -MARK)]]), "edge")
            yield f'<circle class="dot" cx="{number(x)}" cy="{number(y)}" r="2"/>'
            ring = "ring" if prints else "ring thin"
            yield f'<circle class="{ring}" cx="{number(at)}" cy="{number(level)}" r="{number(MARK)}"/>'
            yield words(at, level + 4, str(each.number), "tick", "middle")


def _base(asked: Mapping[str, Any]) -> str:
    if asked["base"] == "stub":
        size = f"{asked['stub_diameter']:g} mm thick and {asked['stub_length']:g} mm long"
        return f"A round stub at the {asked['stub_at']}, {size}, is counted in and not drawn."
    if asked["base"] == "flat":
        return f"The belly is cut off level, {asked['flat_depth']:g} mm deep, which is not drawn."
    return ""


def _rows(told: Mapping[str, Any], asked: Mapping[str, Any]) -> Iterator[str]:
    for each in told["thin_places"]:
        verdict = "prints" if each["prints"] else f"too thin: {told['least_wall_mm']:g} mm asked"
        yield f"{each['place']}: {each['across_mm']:.3g} mm in the {each['strand']}, {verdict}"
    base = _base(asked)
    if base:
        yield base
    best = told.get("best")
    if best is not None:
        fits = "" if best["fits"] else "; it does not fit the printer"
        yield (
            f"Least overhang of 26 ways up: {best['way']}, {best['overhang_pct']:.3g} % of the surface, "
            f"{best['height_mm']:.4g} mm high, {best['layers']} layers{fits}."
        )
        ways = ", ".join(f"{each['way']} {each['overhang_pct']:.3g} %" for each in told["orientations"])
        yield f"Others: {ways}."
