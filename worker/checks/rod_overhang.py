"""Is a bend rod long enough for its plastic: will it hang far enough over an edge to be measured?

A short rod of a firm plastic sticks out level, and nothing can be read off it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.subject import Subject
from worker.measures.trial.overhang import overhang_of
from worker.styles.bend_rod import BEND_ROD, DIAMETER, HELD, LENGTH, SLENDER
from worker.values.plastics import Plastic


def rod_overhang(subject: Subject) -> Answer | None:
    """What the rod has beyond what it is held by, against the overhang that is asked; asked of a bend rod alone.

    It passes from what the stiffest of such plastics asks. It is a caution below, never a failure: a rod that does not
    hang far enough is held level by one end, and its droop measured.
    """
    if subject.request.normal.get("style") != BEND_ROD.name:
        return None
    diameter, length = (float(subject.request.params[name]) for name in ("diameter", "length"))
    typical, most = _asked(diameter, subject.plastic)
    free = length - HELD * diameter
    verdict = graded(free, most, 0.0)
    text = (
        f"Of {length:g} mm the rod has {free:.4g} mm to hang over an edge beside the {HELD * diameter:.3g} mm that lie "
        f"under the ruler; in this plastic the line to its tip falls 41.5 degrees at about {typical:.3g} mm, at "
        f"{most:.4g} mm where it is as stiff as its range goes."
    )
    if verdict == "pass":
        return Answer("rod_overhang", verdict, free, most, "mm", text)
    would = f"A rod {diameter:g} mm thick would have to be {_length(diameter, subject.plastic)} mm long"
    text = f"{text} {would}; or hold this one level by one end and measure its droop."
    mended = tuple(_remedies(subject.plastic, diameter)) if subject.mends else ()
    return Answer("rod_overhang", verdict, free, most, "mm", text, None, mended)


def _asked(diameter: float, plastic: Plastic) -> tuple[float, float]:
    """The overhang, mm, at the typical stiffness and at the highest."""
    typical, most = (
        overhang_of(diameter, modulus, plastic.density.typical)
        for modulus in (plastic.modulus.typical, plastic.modulus.high)
    )
    return typical, most


def _length(diameter: float, plastic: Plastic) -> int:
    """The length, mm, that would do at this thickness, whether or not rods are made so long."""
    return math.ceil(max(_asked(diameter, plastic)[1] + HELD * diameter, SLENDER * diameter, LENGTH.minimum))


def _remedies(plastic: Plastic, present: float) -> Iterator[Remedy]:
    """A longer rod; where none is long enough, the thickest of those under this one for which one is."""
    steps = math.ceil((present - DIAMETER.minimum) / DIAMETER.step - 1e-9)
    thinner = [round(DIAMETER.minimum + step * DIAMETER.step, 6) for step in reversed(range(steps))]
    for diameter in (present, *thinner):
        if (length := _length(diameter, plastic)) > LENGTH.maximum:
            continue
        free, params = length - HELD * diameter, {"length": float(length)}
        words = f"a length of {length} mm: {free:.4g} mm to hang over the edge"
        if diameter != present:
            words, params = f"a diameter of {diameter:g} mm and {words}", {"diameter": diameter, **params}
        yield Remedy(words, {"params": params}, free)
        return
