"""Faults of hollows that leave no bait, told with how much narrower they would leave one; whether one meets a bait."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.measures.strand.places import Box, boxes_of, filled_sections, outside_all, overlap, rims
from worker.measures.strand.size import volume_of
from worker.open_form.declared import BORE_DIAMETER, POCKET_DIAMETER, SOCKET_DIAMETER
from worker.open_form.hollows import hollows_of
from worker.open_form.tree import Copy
from worker.strands.roots import Array
from worker.strands.strand import Strand

Told = Mapping[str, Any]

LEAST_LEFT = 0.02
"""Least share of its strands that hollows leave of a bait (judgement: a wall of 0.8 mm around 80 mm is 0.04)."""
SECTIONS, AROUND, FINE, RINGS = 32, 16, 64, 4
"""Sections of a strand, wedges around each, and parts of one area in a wedge: fine ones tell of a thin wall."""
HALVINGS = 12
"""How closely the greatest width that would do is found."""
FEWEST, MOST, CLOSE = 5, 400, 4
"""Sections of a strand that are asked whether a hollow meets it: so many in the other one's least thickness."""
LEAST = {"bore": BORE_DIAMETER.minimum, "pocket": POCKET_DIAMETER.minimum, "socket": SOCKET_DIAMETER.minimum}


def left_faults(told: Sequence[Told], taken_out: Sequence[Told], made: Sequence[Copy]) -> Iterator[Fault]:
    """What the hollows take too much of: each that does so alone, else all of them together."""
    strands = [copy.strand for copy in made]

    def leaves(hollows: Sequence[Told]) -> bool:
        return _leave(hollows_of(hollows, told, made), strands)

    if not taken_out or leaves(taken_out):
        return
    alone = [number for number, each in enumerate(taken_out) if not leaves([each])]
    for number in alone:
        yield _alone(taken_out[number], f"/hollows/{number}", leaves)
    if not alone:
        last = next(count for count in range(2, len(taken_out) + 1) if not leaves(taken_out[:count]))
        detail = (
            f"These hollows together leave less than {LEAST_LEFT:.0%} of the strands, which is no bait; the first "
            f"{last - 1} of them do leave one."
        )
        yield Fault("/hollows", "nothing-left", detail)


def _alone(each: Told, at: str, leaves: Callable[[Sequence[Told]], bool]) -> Fault:
    """A hollow that takes the bait by itself, with the greatest of its widths that would leave one."""
    least = LEAST.get(each["kind"]) if "path" not in each else None
    share = _greatest(lambda share: leaves([_narrower(each, share)]))
    why = f"This {each['kind']} leaves less than {LEAST_LEFT:.0%} of the strands, which is no bait"
    if least is not None:
        most = math.floor(1e2 * share * each["diameter"]) / 1e2
        if most < least:
            return Fault(at, "nothing-left", f"{why}, however narrow it is; let it begin elsewhere.")
        allowed = {"minimum": least, "maximum": most, "unit": "mm"}
        return Fault(f"{at}/diameter", "nothing-left", f"{why}; {most:g} mm across it leaves one.", allowed)
    if share < 0.01:
        return Fault(at, "nothing-left", f"{why}, however narrow it is; let it lie elsewhere.")
    return Fault(at, "nothing-left", f"{why}; at {math.floor(100 * share)} % of its width and height it leaves one.")


def _narrower(each: Told, share: float) -> Told:
    if "path" not in each:
        return {**each, "diameter": each["diameter"] * share} if "diameter" in each else each
    sizes = ("width", "height", "back", "belly")
    rows = [{name: value * share if name in sizes else value for name, value in row.items()} for row in each["girth"]]
    return {**each, "girth": rows}


def _greatest(does: Callable[[float], bool]) -> float:
    """The greatest share, to 1 in 4096, that does; 0 where none is found."""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if does(middle) else (low, middle)
    return low


def _leave(hollows: Sequence[Strand], strands: Sequence[Strand]) -> bool:
    """Whether the hollows leave a bait."""
    volumes = [volume_of(strand) for strand in strands]
    most = (1 - LEAST_LEFT) * max(volumes)
    if sum(volume_of(hollow) for hollow in hollows) < 0.9 * most:
        return True  # they could not, wherever they lay
    boxes, left, needed = boxes_of((*strands, *hollows)), 0.0, LEAST_LEFT * sum(volumes)
    for strand, volume in zip(strands, volumes, strict=True):
        near = [hollow for hollow in hollows if overlap(boxes[strand.name], boxes[hollow.name])]
        left += volume * (_share(strand, near, boxes) if near else 1.0)
        if left >= needed:
            return True
    return False


def _share(strand: Strand, hollows: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    begin, end = float(strand.body.ends[0]), float(strand.body.ends[-1])
    station = begin + (end - begin) * (np.arange(SECTIONS) + 0.5) / SECTIONS
    places, share = filled_sections(strand, station, AROUND, FINE)
    area = share * strand.body.area(station)[:, None]
    free = outside_all(places, hollows, boxes).reshape(area.shape)
    return float((area * free).sum() / max(float(area.sum()), 1e-12))


def meets(hollow: Strand, strands: Sequence[Strand]) -> bool:
    """Whether a hollow takes anything out of strands: places in it lie in them, or places in them lie in it."""
    boxes, hole = boxes_of(strands), boxes_of([hollow])
    near = [strand for strand in strands if overlap(boxes[strand.name], hole[hollow.name])]
    if not near:
        return False
    if not outside_all(_places(hollow, min(map(_thin, near))), near, boxes).all():
        return True
    # A limb that is thin beside the hollow slips between the places in it.
    thin = _thin(hollow)
    return any(not outside_all(_places(strand, thin), [hollow], hole).all() for strand in near)


def _thin(strand: Strand) -> float:
    """About its least thickness away from its ends, mm."""
    length = strand.path.length
    sizes = strand.body.sizes(length * (np.arange(9) + 1) / 10)
    return float(min(2 * sizes[0].min(), (sizes[1] + sizes[2]).min()))


def _places(strand: Strand, thin: float) -> Array:
    """Places in a strand so close along it that something so thin across it does not lie between two sections."""
    count = min(max(FEWEST, math.ceil(CLOSE * strand.path.length / max(thin, 1e-3))), MOST)
    station = strand.path.length * (np.arange(count) + 0.5) / count
    return np.concatenate([filled_sections(strand, station, AROUND, RINGS)[0], rims(strand, station, 4 * AROUND)[0]])
