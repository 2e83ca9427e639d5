"""`tradeoff.svg`: the front as a plot, each bait numbered, told apart by marks; its list; three of its baits drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from worker.drawing.svg import document, line, number, words
from worker.fit.axes import Axis
from worker.fit.figures import FIGURES
from worker.fit.front import Front, Pair, by_decades
from worker.fit.silhouettes import silhouettes
from worker.fit.trials import Trial
from worker.plots.page import STYLE, WIDTH
from worker.plots.scales import INCH, Scale, step_of
from worker.values.parameter import Value

LEFT, RIGHT, TOP, BOTTOM = 96.0, 900.0, 116.0, 476.0
"""Where the plot stands, pixels."""
ROW = 21.0
FROM_NOTHING = 0.5
"""An axis begins at 0 where its least figure is under this share of its greatest."""
TICKS = 7
MORE = ".ring{fill:none;stroke:#111;stroke-width:1.6px}.front{fill:none;stroke:#111;stroke-width:1px}"
STRONGEST, LIMPEST, BEST = "holds the most", "bends the most", "best for the goal"


def tradeoff_svg(front: Front, pairs: Sequence[Pair], best: Trial) -> bytes:
    """The plot of a front; the same bytes for the same baits."""
    pull, flexibility = FIGURES[front.pull], FIGURES[front.flexibility]
    title = f"{pull.parameter.title} against {flexibility.parameter.title.lower()}"
    head = "What holds more bends less: no other bait tried beats any of these on both."
    drawn = [words(24, 34, title, "head"), words(24, 58, head if len(pairs) > 1 else _few(pairs), "note")]
    drawn += [
        words(24, 78, "disc: meets all that is required; triangle: misses something; ring: best for the goal", "note")
    ]
    y = TOP
    if pairs:
        drawn += _plot(front, pairs, best)
        y = BOTTOM + 84
        drawn += _table(front, pairs, best, y)
        y += ROW * (len(pairs) + len(_beside(front, pairs, best)) + 2)
        shown = {STRONGEST: pairs[0].trial, BEST: best, LIMPEST: pairs[-1].trial}
        figures, y = silhouettes(front.trials, shown, y)
        drawn += figures
    return document(WIDTH, y + 16, title, drawn, STYLE + MORE).encode()


def _few(pairs: Sequence[Pair]) -> str:
    return "There is one bait on it: it holds the most and bends the most." if pairs else "No bait was found for it."


def _plot(front: Front, pairs: Sequence[Pair], best: Trial) -> Iterator[str]:
    ringed = _beside(front, pairs, best)
    across = ranged([pair.flexibility for pair in (*pairs, *ringed)], LEFT, RIGHT)
    up = ranged([pair.pull for pair in (*pairs, *ringed)], BOTTOM, TOP)
    for value, text in up.ticks:
        y = up.place(value)
        yield line(np.array([[LEFT, y], [RIGHT, y]]), "mesh")
        yield words(LEFT - 8, y + 4, text, "tick", "end")
    for value, text in across.ticks:
        x = across.place(value)
        yield line(np.array([[x, TOP], [x, BOTTOM]]), "mesh")
        yield words(x, BOTTOM + 16, text, "tick", "middle")
    yield line(np.array([[LEFT, TOP], [LEFT, BOTTOM], [RIGHT, BOTTOM]]), "edge")
    yield words(24, TOP - 14, _titled(front.pull), "title")
    yield words(RIGHT, BOTTOM + 54, _titled(front.flexibility), "title", "end")
    if FIGURES[front.flexibility].unit == "mm/mN":
        yield from _inches(across, pairs)
    places = [(across.place(pair.flexibility), up.place(pair.pull)) for pair in pairs]
    yield line(np.array(places), "front")
    for place, ((x, y), pair) in enumerate(zip(places, pairs, strict=True)):
        yield _mark(x, y, meets=front.meets(pair))
        if pair.trial.values == best.values:
            yield f'<circle class="ring" cx="{number(x)}" cy="{number(y)}" r="9"/>'
        yield words(x + 9, y - 8, f"{place + 1}", "name")
    for pair in ringed:
        x, y = across.place(pair.flexibility), up.place(pair.pull)
        yield _mark(x, y, meets=front.meets(pair))
        yield f'<circle class="ring" cx="{number(x)}" cy="{number(y)}" r="9"/>'


def _beside(front: Front, pairs: Sequence[Pair], best: Trial) -> tuple[Pair, ...]:
    """The best for the goal, where others beat it on both figures of the front."""
    if any(pair.trial.values == best.values for pair in pairs):
        return ()
    pull, flexibility = best.figure(front.pull), best.figure(front.flexibility)
    if not isinstance(pull, (int, float)) or not isinstance(flexibility, (int, float)):
        return ()
    return (Pair(best, float(pull), float(flexibility)),)


def _inches(across: Scale, pairs: Sequence[Pair]) -> Iterator[str]:
    """The same axis in inches, for what is a length."""
    inches = ranged([pair.flexibility / INCH for pair in pairs], LEFT, RIGHT)
    for value, text in inches.ticks:
        x = across.place(value * INCH)
        if LEFT - 1 <= x <= RIGHT + 1:
            yield line(np.array([[x, BOTTOM + 22], [x, BOTTOM + 27]]), "edge")
            yield words(x, BOTTOM + 38, text, "tick", "middle")
    yield words(LEFT - 8, BOTTOM + 38, "in/mN", "unit", "end")


def _titled(name: str) -> str:
    figure = FIGURES[name]
    return f"{figure.parameter.title}, {figure.unit}" if figure.unit else figure.parameter.title


def _mark(x: float, y: float, *, meets: bool) -> str:
    if meets:
        return f'<circle class="holds" cx="{number(x)}" cy="{number(y)}" r="4"/>'
    corners = f"M{number(x - 5)} {number(y + 4)}L{number(x + 5)} {number(y + 4)}L{number(x)} {number(y - 5)}Z"
    return f'<path class="close" d="{corners}"/>'


def _table(front: Front, pairs: Sequence[Pair], best: Trial, top: float) -> Iterator[str]:
    """One line a bait: its number, both figures and its free values."""
    axes = front.trials.axes
    room = (WIDTH - 340) / max(len(axes), 1)
    columns = [300 + room * place for place in range(len(axes))]
    yield words(24, top, "Bait", "title")
    yield words(150, top, FIGURES[front.pull].unit or "pull", "title", "end")
    yield words(260, top, FIGURES[front.flexibility].unit or "bends", "title", "end")
    letters = int(room / 7.5)
    for x, axis in zip(columns, axes, strict=True):
        yield words(x, top, _short(axis.parameter.title, letters), "title")
    for place, pair in enumerate((*pairs, *_beside(front, pairs, best))):
        y = top + ROW * (place + 1)
        yield _mark(30, y - 4, meets=front.meets(pair))
        if pair.trial.values == best.values:
            yield f'<circle class="ring" cx="30" cy="{number(y - 4)}" r="8"/>'
        yield words(46, y, f"{place + 1}" if place < len(pairs) else "best", "name")
        yield words(150, y, three_digits(pair.pull), "name", "end")
        yield words(260, y, three_digits(pair.flexibility), "name", "end")
        for x, axis, value in zip(columns, axes, pair.trial.values, strict=True):
            yield words(x, y, _short(told_value(axis, value), letters), "name")


def _short(text: str, letters: int) -> str:
    return text if len(text) <= letters else f"{text[: max(letters - 1, 1)]}…"


def told_value(axis: Axis, value: Value) -> str:
    """A free value; a length in millimetres and inches."""
    if isinstance(value, str):
        return value
    if axis.parameter.kind == "length":
        return f"{value:.4g} mm ({value / INCH:.3f} in)"
    return f"{value:.4g} {axis.parameter.unit}".rstrip()


def three_digits(value: float) -> str:
    """At least three digits, without powers of ten."""
    return f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"


def ranged(values: Sequence[float], begin: float, end: float) -> Scale:
    """From the least figure to the greatest, with ticks that read well; from 0 where the least is near it."""
    least, greatest = min(values), max(values)
    if by_decades(least, greatest):
        return _decades(least, greatest, begin, end)
    if least >= 0 and least < FROM_NOTHING * greatest:
        least = 0.0
    if greatest - least < 1e-9 * max(abs(greatest), 1.0):
        least, greatest = least - 0.5 * (abs(least) or 1.0), greatest + 0.5 * (abs(greatest) or 1.0)
    step = step_of(greatest - least, TICKS)
    low, high = math.floor(least / step + 1e-9), math.ceil(greatest / step - 1e-9)
    ticks = tuple((step * k, f"{step * k:g}") for k in range(low, high + 1))
    span = (high - low) * step
    return Scale(lambda value: begin + (end - begin) * (value - low * step) / span, ticks)


def _decades(least: float, greatest: float, begin: float, end: float) -> Scale:
    """By powers of ten, with ticks at 1, 2 and 5 of each; from the last tick below to the first one above."""
    every = [lead * 10.0**power for power in range(-6, 9) for lead in (1, 2, 5)]
    low = max(tick for tick in every if tick <= least * (1 + 1e-9))
    high = min(tick for tick in every if tick >= greatest * (1 - 1e-9))
    ticks = tuple((tick, f"{tick:.6g}") for tick in every if low <= tick <= high)
    span = math.log10(high / low)
    return Scale(lambda value: begin + (end - begin) * math.log10(value / low) / span, ticks)
