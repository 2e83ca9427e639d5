"""The bench rule under a bait: millimetres along its upper edge, inches along its lower one, zero at the nose."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image, ImageDraw

from worker.picture.lettering import width_of, write

INCH = 25.4
HEIGHT = 58
"""Pixels from the rule's upper edge to its lower one."""

_FINER = 4
"""Lines are drawn so many times finer and brought down again: else steps of 3.6 pixels would be 3 and 4 by turns."""

NUMBERS = 13
"""Pixels of the numbers' height."""

UNITS = (("mm", 25), ("in", HEIGHT - 15))
"""The units of the two edges, to be written before the zero, and their base lines' distance from the upper edge."""

_CLOSEST = 3.4
"""Pixels that the finest graduation needs to be told apart."""

_BETWEEN = 5
"""Pixels between two numbers at the least: else every other one is left out."""


@dataclass(frozen=True, slots=True)
class _Tick:
    """A line of the rule, `at` mm from its zero, `long` pixels, with its number where it has one."""

    at: float
    long: int
    number: str = ""


def rule_length(length_mm: float) -> float:
    """How long a rule for a bait of this length is: to the next full centimetre, mm."""
    return 10.0 * max(1, math.ceil(length_mm / 10 - 1e-6))


def bench_rule(length_mm: float, pixels_per_mm: float, ground: str, ink: str) -> Image.Image:
    """A rule of `length_mm` on `ground`, `HEIGHT` pixels high; its first column is zero."""
    width = math.ceil(length_mm * pixels_per_mm) + 1
    fine = Image.new("RGB", (width * _FINER, HEIGHT * _FINER), ground)
    lines = ImageDraw.Draw(fine)
    line = _FINER
    lines.rectangle((0, 0, fine.width - 1, fine.height - 1), outline=ink, width=line)
    upper, lower = list(_millimetres(length_mm, pixels_per_mm)), list(_inches(length_mm, pixels_per_mm))
    for ticks, top in ((upper, True), (lower, False)):
        for tick in ticks:
            column = round(tick.at * pixels_per_mm * _FINER)
            first = 0 if top else fine.height - tick.long * _FINER
            lines.rectangle((column, first, column + line - 1, first + tick.long * _FINER), fill=ink)
    rule = fine.reduce(_FINER)
    words = ImageDraw.Draw(rule)
    for ticks, (_, row) in zip((upper, lower), UNITS, strict=True):
        for tick in (each for each in ticks if each.number):
            middle = round(tick.at * pixels_per_mm)
            # A number that would run over the rule's end is left out.
            if middle + width_of(tick.number, NUMBERS) / 2 < width - 4:
                write(words, (middle, row), tick.number, NUMBERS, ink, anchor="ms")
    return rule


def _millimetres(length_mm: float, scale: float) -> Iterator[_Tick]:
    step = 1 if scale >= _CLOSEST else 5
    room = width_of(str(math.floor(length_mm)), NUMBERS) + _BETWEEN
    told = next((tens for tens in (10, 20, 50) if tens * scale >= room), 100)
    for place in range(step, math.floor(length_mm + 1e-6), step):
        if place % 10 == 0:
            yield _Tick(place, 13, "" if place % told else str(place))
        else:
            yield _Tick(place, 9 if place % 5 == 0 else 5)


def _inches(length_mm: float, scale: float) -> Iterator[_Tick]:
    parts = next(parts for parts in (16, 8, 4, 2) if INCH / parts * scale >= _CLOSEST or parts == 2)
    for place in range(1, math.floor(length_mm / INCH * parts + 1e-6) + 1):
        share = place % parts
        if share == 0:
            yield _Tick(place * INCH / parts, 13, str(place // parts))
        else:
            yield _Tick(place * INCH / parts, 11 if share * 2 == parts else 8 if share * 4 % parts == 0 else 5)
