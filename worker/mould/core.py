"""Core pins: what leaves a bore, a pocket or the inside of a tube, and is drawn out endways once the bait is out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from worker.mould.frame import Frame, cosine_sine
from worker.solid.shapes import Mesh, Place, along, round_section
from worker.solid.trunk import meshes_of_one
from worker.strands.roots import Array
from worker.strands.strand import Strand

CORED = ("bore", "pocket", "inside")
"""Hollows that a pin leaves; slots and sockets are left by the halves, and cuts are made in the bait afterwards."""
CUT = "cut"
HELD, LEAST_HELD = 2.0, 10.0
"""How far a pin is held in the block, in its diameters and at least in mm (judgement)."""
CLEARANCE = 0.05
"""Between a pin's shank and its seat, on the radius, mm: plastic does not creep into that (judgement)."""
ENDS = ("nose", "tail")
FREE_AT_BOTH_ENDS = 2
"""Cavities, one on each side of the runner, up to which pins can come out at both ends."""
OVERLAP, HANDLE = 1.0, 8.0
"""How far a shank reaches into its pin, and how far it stands out of the block to be drawn by, mm."""


@dataclass(frozen=True)
class Pin:
    """In the cavity's own frame: the pin's mesh, `mouth` and `support` in plan, its line's height `z`, its radius.

    `end` is the end of the bait that it comes out of; `gain`: by how much draft has made its tip thinner, mm on the
    radius, which the wall around it gains.
    """

    strand: str
    end: str
    mesh: Mesh
    mouth: Place
    support: Place
    z: float
    radius: float
    gain: float

    def shank(self, until: float, more: float) -> Mesh:
        """From inside the mouth to `until` mm beyond it, `more` mm wider on the radius."""
        toward = -1.0 if self.end == "nose" else 1.0
        section = [(across, up + self.z) for across, up in round_section(self.radius + more)]
        begin = (self.mouth[0] - toward * OVERLAP, self.mouth[1])
        return along(begin, (self.mouth[0] + toward * until, self.mouth[1]), section)


def pin_of(hollow: Strand, frame: Frame, extent: tuple[float, float], draft: float, tolerance: float) -> Pin | str:
    """The pin of a hollow in a bait that reaches from `extent[0]` to `extent[1]` along x, mm; or why there is none."""
    start, end = hollow.path.frames(np.array([0.0, hollow.path.length]))[0]
    run = end - start
    if not hollow.path.straight or abs(run[0]) < 0.999 * float(np.sqrt((run * run).sum())):
        return f"the {hollow.name} does not run straight from end to end, so no pin can be drawn out of it"
    low, high = sorted((float(start[0]), float(end[0])))
    open_ends = [name for name, out in (("nose", low < extent[0]), ("tail", high > extent[1])) if out]
    if not open_ends:
        return f"the {hollow.name} is closed on all sides, so no pin can be drawn out of it"
    name = open_ends[-1]
    mouth_x = extent[0] if name == "nose" else extent[1]
    body = hollow.body
    station = abs(mouth_x - float(start[0]))
    widths = np.stack(body.sizes(np.array([station])))[:, 0]
    widest = float(np.max([outline.crest_y.max() for outline in body.outlines]))
    radius = float(widths.max())
    if widest > radius * 1.01:
        return f"the {hollow.name} is wider inside than at its mouth, so a pin would tear it open"
    vertices, triangles = meshes_of_one(hollow, tolerance)[0]
    slope = cosine_sine(draft)[1] / cosine_sine(draft)[0]
    deep = np.abs(vertices[:, 0] - mouth_x)
    inward = vertices[:, 0] > mouth_x if name == "nose" else vertices[:, 0] < mouth_x
    share = np.where(inward, 1 - slope * deep / radius, 1.0)
    tapered = vertices.copy()
    tapered[:, 1] = start[1] + share * (vertices[:, 1] - start[1])
    tapered[:, 2] = start[2] + share * (vertices[:, 2] - start[2])
    gain = slope * float(deep[inward].max())
    if gain > radius / 2:
        return (
            f"with {draft:g} degrees of draft a pin for the {hollow.name} would lose half of its thickness: take less"
        )
    place = frame.to_mould(np.array([[mouth_x, start[1], start[2]]]))[0]
    held = max(HELD * 2 * radius * frame.growth, LEAST_HELD)
    toward = -held if name == "nose" else held
    return Pin(
        hollow.name,
        name,
        (frame.to_mould(tapered), triangles),
        (float(place[0]), float(place[1])),
        (float(place[0]) + toward, float(place[1])),
        float(place[2]),
        radius * frame.growth,
        gain * frame.growth,
    )


def standing(pins: Sequence[Pin], cavities: int) -> tuple[list[Pin], list[str]]:
    """The pins that can stand in a mould of so many cavities, and why others cannot.

    A pin is held on the parting plane. Of more than two cavities some lie end to end or side by side behind the
    runner, so that pins can come out at one end alone: the tail, where the larger hollows open.
    """
    far = [pin for pin in pins if abs(pin.z) > pin.radius / 2]
    reasons = [f"the {pin.strand} lies {abs(pin.z):.1f} mm off the parting plane, where no pin is held" for pin in far]
    held = [pin for pin in pins if pin not in far]
    if cavities <= FREE_AT_BOTH_ENDS or len({pin.end for pin in held}) < len(ENDS):
        return held, reasons
    reasons += [
        f"the pin of the {pin.strand} would cross another cavity, for other pins come out at the tail: take "
        f"{FREE_AT_BOTH_ENDS} cavities at most"
        for pin in held
        if pin.end == "nose"
    ]
    return [pin for pin in held if pin.end == "tail"], reasons


def cored(hollows: Sequence[Strand]) -> tuple[list[Strand], list[Strand]]:
    """The hollows that pins leave, and those that stay in the halves; cuts are in neither."""
    pins = [each for each in hollows if each.kind in CORED]
    return pins, [each for each in hollows if each.kind not in (*CORED, CUT)]


def bounds(vertices: Array) -> tuple[float, float]:
    """From where to where a bait reaches along x, mm."""
    return float(vertices[:, 0].min()), float(vertices[:, 0].max())
