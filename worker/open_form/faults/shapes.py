"""Faults of one strand's numbers: its path, its girth and its ends, before it is made."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.open_form.frames import Frame
from worker.open_form.paths import apart, path_of
from worker.open_form.shapes import ends_of, girth_of, places_of, span
from worker.values.stations import along, in_text
from worker.values.told_bounds import at_least, at_most

Told = Mapping[str, Any]

CLOSEST = 0.01
"""Least distance from one girth station or band border to the next, mm."""
LEAST_TRUNK = 4.0
"""Least greatest girth of a trunk, mm (judgement; holds across all styles)."""
LEAST_HEIGHT = 0.8
"""Least height of a section, mm: thinner seldom fills (judgement; holds across all styles)."""


def shape_faults(told: Told, at: str) -> Iterator[Fault]:
    """Every fault of a strand or of a hollow that is told as one; `at` is the pointer to it."""
    path = list(_path(told["path"], at))
    if path:
        yield from path
        return
    length = path_of(told["path"], Frame(), 0.0).length
    girth = list(_girth(told["girth"], length, f"{at}/girth"))
    yield from girth
    yield from _bands(told.get("bands", ()), length, f"{at}/bands")
    if not girth:
        yield from _ends(told, length, at)
        yield from _thick_enough(told, at)


def _path(told: Told, at: str) -> Iterator[Fault]:
    kind = next(name for name in ("length", "points", "curve") if name in told)
    for place, member in apart(told):
        detail = (
            "A tangent has a length; that of this one is next to none."
            if member == "/tangent"
            else "The path does not go on from the point before: it lies in the same place, or straight back."
        )
        yield Fault(f"{at}/path/{kind}/{place}{member}", "no-way-on", detail)


def outside_fault(at: str, millimetres: float, length: float) -> Fault:
    """The fault of a place that lies past the tip."""
    detail = f"{millimetres:g} mm lies past the tip: the strand is {length:.4g} mm long."
    return Fault(at, "station-outside", detail, {"minimum": 0, "maximum": at_most(length), "unit": "mm"})


def station_faults(told: Any, length: float, at: str) -> Iterator[Fault]:
    """Places past the tip of a strand `length` mm long."""
    listed = not isinstance(told, Mapping)
    names = range(len(told)) if listed else ("from", "to")
    places = places_of(told, length)
    for name, place in zip(names, places if listed else (places[0], places[-1]), strict=True):
        if place > length + 1e-9:
            yield outside_fault(f"{at}/{name}", place, length)


def _girth(told: Sequence[Told], length: float, at: str) -> Iterator[Fault]:
    before = -1.0
    for place, station in enumerate(told):
        millimetres = along(station["at"], length)
        if millimetres > length:
            yield outside_fault(f"{at}/{place}/at", millimetres, length)
        elif millimetres - before < CLOSEST:
            detail = f"Stations go from root to tip: this one lies at {millimetres:.4g} mm, the one before further on."
            least = at_least(before + CLOSEST)
            allowed = {"minimum": in_text(least)} if least <= length else None  # else the one before is too far out
            yield Fault(f"{at}/{place}/at", "stations-out-of-order", detail, allowed)
        height = station["back"] + station["belly"]
        if height < LEAST_HEIGHT - 1e-9:
            detail = f"A section {height:g} mm high seldom fills; {LEAST_HEIGHT:g} mm does."
            yield Fault(f"{at}/{place}/back", "too-thin", detail, {"minimum": LEAST_HEIGHT, "unit": "mm"})
        before = millimetres


def _bands(told: Sequence[Told], length: float, at: str) -> Iterator[Fault]:
    before = 0.0
    for place, band in enumerate(told):
        begin, end = span(band, length)
        if end > length:
            yield outside_fault(f"{at}/{place}/to", end, length)
        elif end - begin < CLOSEST:
            detail = f"This band ends at {end:.4g} mm, before it begins at {begin:.4g} mm."
            yield Fault(f"{at}/{place}/to", "ends-before-it-begins", detail, {"minimum": in_text(begin + CLOSEST)})
        elif begin < before - 1e-9:
            detail = f"This band begins at {begin:.4g} mm, inside of the one before it."
            yield Fault(f"{at}/{place}/from", "bands-overlap", detail, {"minimum": in_text(before)})
        before = end


def _ends(told: Told, length: float, at: str) -> Iterator[Fault]:
    girth = girth_of(told["girth"], length)
    ends = ends_of(told["ends"], girth)
    if sum(ends) > 0.98 * length:
        longer = "root" if ends[0] > ends[1] else "tip"
        most = round(max(0.98 * length - min(ends), 0.0), 4)
        detail = f"Ends of {ends[0]:.3g} and {ends[1]:.3g} mm do not go into a strand {length:.4g} mm long."
        yield Fault(f"{at}/ends/{longer}", "ends-too-long", detail, {"maximum": most, "unit": "mm"})


def _thick_enough(told: Told, at: str) -> Iterator[Fault]:
    if told["kind"] != "trunk":
        return
    greatest = max(max(row["width"], row["back"] + row["belly"]) for row in told["girth"])
    if greatest < LEAST_TRUNK:
        detail = f"A trunk {greatest:g} mm at its thickest is none: {LEAST_TRUNK:g} mm is the least."
        yield Fault(f"{at}/girth", "trunk-too-thin", detail, {"minimum": LEAST_TRUNK, "unit": "mm"})
