"""The temperature window: a bar from too cold to never, with the pour marked on it, readable without colours."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.sheet.paper import Paper
from worker.sheet.parts import BODY, SMALL
from worker.sheet.words import degrees, fahrenheit, figure
from worker.values.pouring import FUSES_C, GENTLE_C, HARSH_C, NEVER_C

FROM_C, TO_C = 140.0, 230.0
ZONES = (
    (FROM_C, FUSES_C, "not fused", 1.0),
    (FUSES_C, GENTLE_C, "right", 1.0),
    (GENTLE_C, HARSH_C, "take care", 0.8),
    (HARSH_C, NEVER_C, "fumes", 0.5),
    (NEVER_C, TO_C, "never", 0.0),
)
HIGH = 6.0


def window(paper: Paper, x: float, y: float, width: float, shot: Mapping[str, Any], sheet: Mapping[str, Any]) -> float:
    """The bar and what goes with it, `width` mm wide; gives the next line."""
    pour = float(shot["pour_temperature_c"])

    def at(celsius: float) -> float:
        return x + (min(max(celsius, FROM_C), TO_C) - FROM_C) / (TO_C - FROM_C) * width

    top = y + 2.5
    for low, high, words, grey in ZONES:
        left, right = at(low), at(high)
        paper.box(left, top, right - left, HIGH, grey)
        if low == FROM_C:
            step = 1.6
            for n in range(int((right - left) / step)):
                paper.line(left + n * step, top + HIGH, left + (n + 1) * step, top, 0.12)
        if low == FUSES_C:
            paper.box(left, top, right - left, HIGH, 1.0, 0.7)
        lettering = 1.0 if grey < 0.4 else 0.0
        if grey == 1.0 and low == FROM_C:
            paper.box((left + right) / 2 - 7, top + 1.5, 14, 3.2, 1.0, 0)
        face = "bold" if low == FUSES_C else "plain"
        paper.write((left + right) / 2, top + HIGH / 2 + 1, words, SMALL, face, "middle", lettering)
    for tick in (FUSES_C, GENTLE_C, HARSH_C, NEVER_C):
        paper.write(at(tick), top + HIGH + 3, f"{tick:.0f} °C", SMALL, anchor="middle")
        paper.write(at(tick), top + HIGH + 5.6, f"{fahrenheit(tick):.0f} °F", SMALL, anchor="middle", grey=0.25)
    mark = at(pour)
    for row in range(5):
        half = 1.4 * (1 - row / 5)
        paper.line(mark - half, top - 1.8 + row * 0.35, mark + half, top - 1.8 + row * 0.35, 0.36)
    y = top + HIGH + 10
    if FUSES_C <= pour < NEVER_C:
        said = f"Pour at {degrees(pour)}, measured in the plastic, not read off the dial."
    else:
        said = (
            f"{degrees(pour)} was asked for and is not recommended: pour between {degrees(FUSES_C)} and "
            f"{degrees(GENTLE_C)}."
        )
    y = paper.paragraph(x, y, width, said, BODY, "bold")
    minutes, reheats = sheet["minutes_at_heat"], sheet["reheats"]
    times = (
        "not reheated"
        if reheats == 0
        else "reheated once at most"
        if reheats == 1
        else f"reheated {reheats} times at most"
    )
    return paper.paragraph(
        x,
        y,
        width,
        f"No longer than {figure(minutes, 6)} min at that heat; {times}. Brown plastic: stop and leave.",
        BODY,
    ) + (paper.step(BODY) / 2)
