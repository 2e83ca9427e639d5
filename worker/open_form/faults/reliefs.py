"""Faults of one strand's relief against its girth: ribs that do not fit, beads that vanish into one another."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.open_form.faults.shapes import outside_fault
from worker.open_form.frames import Frame
from worker.open_form.paths import path_of
from worker.open_form.shapes import girth_of, height_ratio, row_of
from worker.strands.girth import Girth
from worker.strands.rings_relief import Rings
from worker.values.stations import along, in_text
from worker.values.told_bounds import at_least, at_most

Told = Mapping[str, Any]

CLOSEST_BEADS = 0.15
"""Least pitch over a bead's length: closer, the beads are a plain rod and only cost triangles (judgement)."""
DEEPEST = 0.5
"""Greatest depth of a groove over the reach of the section that it is cut into: a quarter of a height (judgement)."""
STEEPEST = 0.6
"""Greatest slope of a girth under ribs or rings: on a steeper one a rib hides the next (judgement)."""
PITCHES = {"ribs": (1.5, 8.0), "rings": (1.0, 8.0)}
EVEN = 0.01
"""By how much the height over the width of a beaded girth may differ from its first station's."""


def relief_faults(told: Told, at: str) -> Iterator[Fault]:
    """Every fault of a strand's relief; `at` is the pointer to the strand, whose shape has none."""
    length = path_of(told["path"], Frame(), 0.0).length
    girth = girth_of(told["girth"], length)
    if told["ends"]["upright"] and told["relief"]["kind"] != "plain":
        yield Fault(f"{at}/ends/upright", "upright-with-relief", "A strand whose ends stand upright has no relief.")
    match told["relief"]["kind"]:
        case "beads":
            yield from _beads(told, girth, length, at)
        case "ribs" | "rings":
            yield from _row(told["relief"], girth, length, f"{at}/relief")


def _beads(told: Told, girth: Girth, length: float, at: str) -> Iterator[Fault]:
    given = told["ends"]
    if given["tip"] != "round" or given["root"] not in ("round", "flat"):
        yield Fault(f"{at}/ends", "ends-of-beads", "Beads end where the first and the last one do; leave the ends out.")
    ratio = height_ratio(girth)
    for place, row in enumerate(told["girth"]):
        height = row["back"] + row["belly"]
        if abs(height / row["width"] - ratio) > EVEN or abs(row["back"] - row["belly"]) > EVEN * height:
            detail = f"Beads are {ratio:g} times as high as wide all along, half of it to the back."
            half = round(ratio * row["width"] / 2, 4)
            yield Fault(f"{at}/girth/{place}", "beads-uneven", detail, {"back": half, "belly": half})
    core = told["relief"].get("core")
    if core is not None and core["height_share"] > 0.95 * ratio:
        detail = f"A core {core['height_share']:g} times as high as the beads are wide does not go into them."
        allowed = {"minimum": 0.1, "maximum": at_most(0.95 * ratio)}
        yield Fault(f"{at}/relief/core/height_share", "core-too-high", detail, allowed)
    yield from _bead_count(told["relief"], girth, length, f"{at}/relief/count")


def _bead_count(relief: Told, girth: Girth, length: float, at: str) -> Iterator[Fault]:
    """Beads p apart of length b fill (count - 1) p + b, the two taken as means over the girth."""
    bead = relief["length_ratio"] * float(girth.width(np.arange(257) / 256).mean())
    most = math.floor(1 + (length - bead) / (CLOSEST_BEADS * bead) + 1e-9)
    if most < 2:
        detail = f"Beads {bead:.3g} mm long do not fit into a strand {length:.4g} mm long."
        yield Fault(at, "beads-too-long", detail)
    elif relief["count"] > most:
        detail = f"{relief['count']} beads lie so close that they vanish into one another; {most} can be told apart."
        yield Fault(at, "beads-too-close", detail, {"minimum": 2, "maximum": most, "whole": True})


def _row(relief: Told, girth: Girth, length: float, at: str) -> Iterator[Fault]:
    begin, end = (along(relief[name], length) for name in ("from", "to"))
    land = relief.get("land", 0.0)
    if end > length:
        yield outside_fault(f"{at}/to", end, length)
        return
    low, high = PITCHES[relief["kind"]]
    if end - begin < low:
        detail = f"From {begin:.4g} to {end:.4g} mm there is no room for one of them."
        yield Fault(f"{at}/to", "no-room", detail, {"minimum": in_text(at_least(begin + low)), "maximum": 1})
        return
    room = land + relief.get("edge", 0.0) + 0.1
    first, last = (room, length - 0.1) if relief.get("steep") != "tail" else (0.1, length - room)
    if begin < first:
        detail = f"The first of them begins {begin:.3g} mm from the root; {first:.3g} mm from it there is room."
        yield Fault(f"{at}/from", "no-room", detail, {"minimum": in_text(at_least(first))})
    begin, pitch, count = row_of(relief, length)
    if begin + count * pitch > last + 1e-9:
        detail = f"The last of them ends {begin + count * pitch:.4g} mm from the root; {last:.4g} mm is the furthest."
        yield Fault(f"{at}/to", "no-room", detail, {"maximum": in_text(at_most(last))})
        return
    if not low - 1e-9 <= pitch <= high + 1e-9:
        detail = f"{count} in that stretch stand {pitch:.3g} mm apart; {low:g} to {high:g} mm can be made."
        fewest, most = math.ceil(count * pitch / high - 1e-9), math.floor(count * pitch / low + 1e-9)
        yield Fault(f"{at}/count", "pitch", detail, {"minimum": max(fewest, 1), "maximum": max(most, 1), "whole": True})
        return
    yield from _land(relief, pitch, at) if relief["kind"] == "ribs" else _groove(relief, pitch, at)
    yield from _under(relief, girth, length, (begin, begin + count * pitch), at)


def _land(relief: Told, pitch: float, at: str) -> Iterator[Fault]:
    """A land carries the round of its front edge; a groove the round of its foot and a slope beside it."""
    land, edge = relief["land"], relief["edge"]
    if land < 2 * edge - 1e-9:
        detail = f"A land of {land:g} mm does not carry edges rounded by {edge:g} mm; it takes {2 * edge:g} mm."
        yield Fault(f"{at}/land", "land-too-short", detail, {"minimum": at_least(2 * edge), "unit": "mm"})
    if pitch - land < 3 * edge - 1e-9:
        detail = f"A pitch of {pitch:.4g} mm leaves {pitch - land:.3g} mm of groove; its round takes {3 * edge:g} mm."
        yield Fault(f"{at}/land", "groove-too-short", detail, {"maximum": at_most(pitch - 3 * edge), "unit": "mm"})


def _groove(relief: Told, pitch: float, at: str) -> Iterator[Fault]:
    deepest = Rings.deepest(pitch)
    if relief["depth"] > deepest + 1e-9:
        detail = f"Rings {relief['depth']:g} mm deep leave no land at a pitch of {pitch:.3g} mm; {deepest:.3g} mm do."
        yield Fault(f"{at}/depth", "rings-too-deep", detail, {"maximum": at_most(deepest), "unit": "mm"})


def _under(relief: Told, girth: Girth, length: float, stretch: tuple[float, float], at: str) -> Iterator[Fault]:
    """The girth under the grooves: thick enough for their depth, and not too steep."""
    station = stretch[0] + (stretch[1] - stretch[0]) * np.arange(65) / 64
    cover = relief["cover"]
    tops = {
        "sides": girth.half_widths(length),
        "back": girth.backs(length),
        "belly": girth.bellies(length),
    }
    carried = [top for name, top in tops.items() if cover in ("all", name)]
    most = DEEPEST * min(float(top.heights(station).min()) for top in carried)
    if relief["depth"] > most + 1e-9:
        detail = f"Grooves {relief['depth']:g} mm deep cut more than a quarter into the strand; {most:.3g} mm do not."
        yield Fault(f"{at}/depth", "grooves-too-deep", detail, {"maximum": at_most(most), "unit": "mm"})
    steepest = max(float(np.abs(top.slopes(station)).max()) for top in carried)
    if steepest > STEEPEST:
        detail = f"The girth rises or falls by {steepest:.3g} mm a millimetre under them; {STEEPEST:g} is the most."
        yield Fault(f"{at}/from", "girth-too-steep", detail)
