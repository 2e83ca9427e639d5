"""Faults of hollows: names, places, slots too deep, walls that leave no room, hollows that miss the bait."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.open_form.declared import MOST_TAKEN_OUT
from worker.open_form.faults.left import meets
from worker.open_form.faults.names import copies_of, own_copies
from worker.open_form.faults.rooms import rooms
from worker.open_form.faults.shapes import outside_fault, shape_faults, station_faults
from worker.open_form.hollows import made_of
from worker.open_form.shapes import span
from worker.open_form.tree import Copy
from worker.strands.strand import Strand
from worker.styles.turns import turn_faults
from worker.values.stations import in_text
from worker.values.told_bounds import at_least

Told = Mapping[str, Any]


def named_strands(told: Sequence[Told], taken_out: Sequence[Told]) -> Iterator[Fault]:
    """Strands that hollows name and that there are not; hollows that become too many, counted before one is made."""
    names = sorted({each["name"] for each in told})
    known = [each for each in taken_out if each.get("strand", names[0]) in names]
    for number, each in enumerate(taken_out):
        if each not in known:
            detail = f"There is no strand named {each['strand']!r}."
            yield Fault(f"/hollows/{number}/strand", "unknown-strand", detail, {"choices": names})
    counts = copies_of(told)
    counted = sum(own_copies(each) * each.get("count", 1) * counts.get(each.get("strand", ""), 1) for each in known)
    if counted > MOST_TAKEN_OUT:
        detail = f"Stations, sides and counts multiplied out, these hollows become {counted}; {MOST_TAKEN_OUT} do."
        yield Fault("/hollows", "too-many-copies", detail, {"maximum": MOST_TAKEN_OUT})


def hollow_faults(told: Sequence[Told], taken_out: Sequence[Told], made: Sequence[Copy]) -> Iterator[Fault]:
    """Every fault of the hollows in strands that have none."""
    strands = [copy.strand for copy in made]
    for number, each in enumerate(taken_out):
        at = f"/hollows/{number}"
        copy = next((copy for copy in made if told[copy.told]["name"] == each.get("strand")), None)
        wrong = list(_of_numbers(each, copy, at))
        if not wrong:
            wrong = list(_of_made(made_of(each, told, made), strands, at))
        yield from wrong


def _of_numbers(each: Told, copy: Copy | None, at: str) -> Iterator[Fault]:
    if "path" in each:
        yield from shape_faults(each, at)
    if copy is None:
        return
    length = copy.strand.path.length
    if "stations" in each:
        yield from station_faults(each["stations"], length, f"{at}/stations")
    if "from" in each:
        begin, end = span(each, length)
        if end > length + 1e-9:
            yield outside_fault(f"{at}/to", end, length)
        elif end - begin < 1.0:
            detail = f"From {begin:.4g} to {end:.4g} mm there is no room for it; a millimetre is the least."
            yield Fault(f"{at}/to", "ends-before-it-begins", detail, {"minimum": in_text(at_least(begin + 1))})
        else:
            yield from rooms(each, copy.strand, at)
    if each["kind"] == "pocket" and "path" not in each and each["length"] < each["diameter"]:
        detail = f"A pocket {each['diameter']:g} mm wide is at least as long: {each['length']:g} mm is less."
        yield Fault(f"{at}/length", "pocket-too-short", detail, {"minimum": each["diameter"], "unit": "mm"})


def _of_made(hollows: Sequence[Strand], strands: Sequence[Strand], at: str) -> Iterator[Fault]:
    for hollow in hollows:
        turned = list(turn_faults(hollow, f"{at}/path"))
        if turned:
            yield turned[0]
            return
        if not meets(hollow, strands):
            yield Fault(at, "misses-the-bait", "This hollow lies beside the bait; nothing is taken out.")
            return
