"""The members of `mould`: each declared once."""

from __future__ import annotations

from worker.values.mould_materials import MOULD_MATERIALS
from worker.values.parameter import Parameter


def _length(name: str, title: str, text: str, default: float, least: float, most: float, step: float) -> Parameter:
    return Parameter(name, "length", title, text, default=default, minimum=least, maximum=most, step=step, unit="mm")


KIND = Parameter(
    "kind",
    "choice",
    "Kind",
    "injected: two halves that are shot through a gate. injected_with_core: the same with core pins, which leave what "
    "is hollow. open_pour: one half with an open face that is poured full. dipped: the form of a hollow bait, which is "
    "dipped.",
    default="injected",
    choices=("injected", "injected_with_core", "open_pour", "dipped"),
)
MATERIAL = Parameter(
    "material",
    "choice",
    "Material",
    "What it is made of; walls, vents, the undercut that comes out and the cooling follow from it.",
    default="aluminium",
    choices=tuple(MOULD_MATERIALS),
)
CAVITIES = Parameter(
    "cavities", "whole", "Cavities", "How many baits one shot makes.", default=1, minimum=1, maximum=8, step=1
)
FORM = Parameter(
    "form",
    "choice",
    "Form of the face",
    "flat: the parting plane itself. following: a face that goes through the bait's silhouette as it is seen along the "
    "draw, up and down with its limbs, and is flat at the rim, the gate, dowels and bolts, as high as the silhouette "
    "is at the gate (without core pins; `height` of an answer tells it). auto: flat where that draws, else following "
    "where that draws better. An open mould's face is flat.",
    default="auto",
    choices=("auto", "flat", "following"),
)
STEEPEST = Parameter(
    "steepest_deg",
    "number",
    "Steepest face",
    "Slope that a face which follows the bait may have. Up to 45 or 60 degrees faces shut off well (common practice, "
    "no source); steeper ones slide on each other, wear, and have to be fitted closely.",
    default=60,
    minimum=20,
    maximum=80,
    step=5,
    unit="degrees",
)
TURN = Parameter(
    "turn_deg",
    "number",
    "Turn",
    "How the parting plane is turned about the line from nose to tail: at 0 the halves come off upward and downward, "
    "at 90 to the sides. In an open mould, 0 has the back in the open face and 180 the belly.",
    default=0.0,
    minimum=-180,
    maximum=180,
    step=15,
    unit="degrees",
)
HEIGHT = _length(
    "height",
    "Height",
    "How far the parting plane lies from the line from nose to tail, towards the half that comes off.",
    0.0,
    -60,
    60,
    0.1,
)
WALL = _length(
    "wall",
    "Wall",
    "Least thickness around a cavity. Left out: 8 mm in aluminium and resin, 12 in silicone, 15 in plaster.",
    8.0,
    4,
    40,
    0.5,
)
GATE_AT = Parameter(
    "gate_at",
    "choice",
    "Where the gate is",
    "thickest: at the side of the thickest place that can be reached, which is fed longest. nose, tail: at that end, "
    "where cavities then lie side by side.",
    default="thickest",
    choices=("thickest", "nose", "tail"),
)
GATE_SHARE = Parameter(
    "gate_share",
    "number",
    "Gate",
    "Depth of the gate over the thickness that it feeds, and its area over the section; its least side is 3 mm at "
    "least.",
    default=0.45,
    minimum=0.3,
    maximum=0.6,
    step=0.05,
)
CORE_DRAFT = Parameter(
    "core_draft",
    "number",
    "Draft of core pins",
    "How much a pin narrows to each side on its way in; the wall around its tip is thicker by that. Soft plastic wants "
    "half a degree to one.",
    default=0.5,
    minimum=0,
    maximum=3,
    step=0.25,
    unit="degrees",
)
NOZZLE = _length("nozzle", "Injector's nozzle", "Outer diameter of the nozzle that seats in the mould.", 12, 6, 30, 0.5)
FASTENING = Parameter(
    "fastening",
    "choice",
    "Fastening",
    "bolts: holes for M5 through both halves. clamps: none; the faces stay plain.",
    default="bolts",
    choices=("bolts", "clamps"),
)
REVISION = Parameter(
    "revision",
    "whole",
    "Revision",
    "Raised in the face beside the cavities' numbers.",
    default=1,
    minimum=1,
    maximum=99,
    step=1,
)
BED = (
    _length("length", "Length", "Of the machine that makes the halves.", 250, 40, 1500, 5),
    _length("width", "Width", "Of the machine that makes the halves.", 210, 40, 1500, 5),
    _length("height", "Height", "Of the machine that makes the halves.", 200, 20, 1500, 5),
)
