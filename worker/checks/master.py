"""Does every part of the master print, and does it lie on the printer's bed?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from worker.checks.answer import Answer, Remedy, Verdict
from worker.checks.subject import Subject
from worker.master.printing import box_fits, least_wall, master_size, needed_of
from worker.values.parameter import Parameter
from worker.values.prints import BED_LENGTH, LINES, NOZZLE, PIXEL, PIXELS
from worker.values.shrinkage import master_scale

FINE_PIXEL_MM = 0.05


def master_wall(subject: Subject) -> Answer | None:
    """The thinnest place, made larger, against two lines of the nozzle or ten pixels. Not asked without a master."""
    asked = subject.request.normal.get("print")
    if asked is None or subject.pieces > 1:
        return None
    scale, limit, place = master_scale(subject.request.normal), least_wall(asked), subject.thinnest
    across = scale * place.across
    words = "two lines of the nozzle" if asked["process"] == "filament" else "ten pixels"
    text = f"The master's thinnest place is {across:.3g} mm, in the {place.strand}; {words} are {limit:.3g} mm."
    where = {"strand": place.strand, "station_mm": round(place.station, 3)}
    verdict: Verdict = "pass" if across >= limit * (1 - 1e-9) else "fail"
    mended = () if verdict == "pass" else tuple(_finer(asked, across))
    return Answer("master_wall", verdict, across, limit, "mm", text, where, mended)


def _finer(asked: dict[str, Any], across: float) -> Iterator[Remedy]:
    """A finer nozzle or pixel, or resin in place of filament."""
    declared, count, words = (NOZZLE, LINES, "nozzle") if asked["process"] == "filament" else (PIXEL, PIXELS, "pixel")
    size = _stepped_down(across / count, declared)
    if size >= declared.minimum:
        yield Remedy(
            f"a {size:g} mm {words}: prints from {count * size:.3g} mm", {"print": {declared.name: size}}, across
        )
    pixel = _stepped_down(min(across / PIXELS, FINE_PIXEL_MM), PIXEL)
    if asked["process"] == "filament" and pixel >= PIXEL.minimum:
        patch = {"print": {"process": "resin", "pixel": pixel}}
        yield Remedy(f"resin by pixels of {pixel:g} mm: prints from {PIXELS * pixel:.3g} mm", patch, across)


def _stepped_down(value: float, declared: Parameter) -> float:
    return round(math.floor(value / declared.step + 1e-9) * declared.step, 6)


def master_bed(subject: Subject) -> Answer | None:
    """The box around the master against the printer's room. Not asked without a master."""
    asked = subject.request.normal.get("print")
    if asked is None:
        return None
    size, bed = subject.size, asked["bed"]
    box = master_size(asked, (size.length, size.max_width, size.max_height), master_scale(subject.request.normal))
    fits = box_fits(bed, box)
    needed = min(needed_of(bed, box), 1.0) if fits else needed_of(bed, box)
    told = " by ".join(f"{side:.4g}" for side in box)
    printer = f"{bed['length']:g} by {bed['width']:g} by {bed['height']:g} mm"
    text = f"The master of {told} mm {'lies' if fits else 'does not lie'} in a printer of {printer}."
    mended = () if fits else tuple(_larger(box))
    return Answer("master_bed", "pass" if fits else "fail", needed, 1.0, "of the room", text, None, mended)


def _larger(box: tuple[float, float, float]) -> Iterator[Remedy]:
    sides = [max(math.ceil(side / BED_LENGTH.step) * BED_LENGTH.step, BED_LENGTH.minimum) for side in box]
    if max(sides) <= BED_LENGTH.maximum:
        bed = dict(zip(("length", "width", "height"), sides, strict=True))
        words = " by ".join(f"{side:g}" for side in sides)
        yield Remedy(f"a printer of {words} mm", {"print": {"bed": bed}}, needed_of(bed, box))
