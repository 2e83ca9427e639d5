"""What a request may say of a printed master (`print`): the process, the bed, what is cast from it; declared once.

Least walls are what published guides agree on: two lines for filament, half a millimetre, here ten pixels, for resin.
"""

from __future__ import annotations

from worker.values.mould_materials import MOULD_MATERIALS
from worker.values.parameter import Parameter

SHRINKAGES: dict[str, tuple[float, str]] = {
    "pla": (0.2, "judgement"),
    "petg": (0.3, "judgement"),
    "abs": (0.7, "judgement; mouldings shrink by 0.4 to 0.7 (from memory)"),
    "asa": (0.6, "judgement"),
    "resin": (0.4, "judgement; what a printer's own compensation leaves has to be measured"),
    "other": (0.0, "nothing is assumed: measure a printed bar of 100 mm"),
}
"""Per cent of a print's length that it loses, by material, and where that comes from."""

CASTS = ("none", *(each.name for each in MOULD_MATERIALS.values() if each.cast))
"""What a mould can be cast in over a master; none where the master itself is wanted at the cavity's size."""

LINES, PIXELS = 2.0, 10.0
"""Least wall in nozzles and in pixels: two lines of a 0.4 mm nozzle are the 0.8 mm of print guides, ten pixels of 0.05
mm their half a millimetre."""

PROCESS = Parameter(
    "process",
    "choice",
    "Process",
    "filament: melted through a nozzle. resin: set by light, pixel by pixel.",
    default="filament",
    choices=("filament", "resin"),
)


def _length(name: str, title: str, text: str, default: float, minimum: float, maximum: float, step: float) -> Parameter:
    return Parameter(
        name, "length", title, text, default=default, minimum=minimum, maximum=maximum, step=step, unit="mm"
    )


NOZZLE = _length("nozzle", "Nozzle", "Of a filament printer. Two lines of it are the least wall.", 0.4, 0.1, 2.0, 0.1)
PIXEL = _length("pixel", "Pixel", "Of a resin printer. Ten of them are the least wall.", 0.05, 0.01, 0.2, 0.005)
LAYER = _length("layer", "Layer", "Its height.", 0.1, 0.01, 0.6, 0.01)
BED_LENGTH = _length("length", "Length", "Of the bed.", 220.0, 20.0, 2000.0, 5.0)
BED_WIDTH = _length("width", "Width", "Of the bed.", 220.0, 20.0, 2000.0, 5.0)
BED_HEIGHT = _length("height", "Height", "Above the bed.", 250.0, 20.0, 2000.0, 5.0)
MATERIAL = Parameter(
    "material", "choice", "Material", "What the master is printed in.", default="pla", choices=tuple(SHRINKAGES)
)
CAST_IN = Parameter(
    "cast_in",
    "choice",
    "Cast in",
    "What the mould is cast in over the master; none where the master is all that is wanted.",
    default="silicone",
    choices=CASTS,
)


def _shrinkage(name: str, title: str, text: str) -> Parameter:
    return Parameter(name, "number", title, text, default=0.0, minimum=-3.0, maximum=5.0, step=0.05, unit="%")


PRINT_SHRINKAGE = _shrinkage(
    "print_shrinkage_pct", "Print's shrinkage", "As you measured it. Left out, it follows from the material."
)
CAST_SHRINKAGE = _shrinkage(
    "mould_shrinkage_pct", "Mould's shrinkage", "As you measured it. Left out, it follows from what it is cast in."
)
BASE = Parameter(
    "base",
    "choice",
    "Base",
    "none: the bait as it is. flat: its belly cut off level, to stand on a plate. stub: a round stub for the sprue.",
    default="none",
    choices=("none", "flat", "stub"),
)
FLAT_DEPTH = _length("flat_depth", "Flat's depth", "How much of the belly a flat cuts off.", 0.5, 0.05, 20.0, 0.1)
STUB_AT = Parameter(
    "stub_at", "choice", "Stub's end", "Where the stub stands.", default="nose", choices=("nose", "tail")
)
STUB_DIAMETER = _length("stub_diameter", "Stub's diameter", "A sprue of 5 to 8 is usual.", 6.0, 1.0, 40.0, 0.5)
STUB_LENGTH = _length("stub_length", "Stub's length", "From the bait's end on.", 12.0, 1.0, 100.0, 1.0)
OVERHANG = Parameter(
    "overhang_deg",
    "number",
    "Overhang",
    "How far from upright a face may lean without a support: 45 is the common rule.",
    default=45.0,
    minimum=10.0,
    maximum=80.0,
    step=5.0,
    unit="°",
)
