"""Which parameter mends a shrimp's limb that is in trouble."""

from __future__ import annotations

import math

import numpy as np

from worker.errors import Fault
from worker.measures.strand.extent import extent_of
from worker.strands.strand import Strand
from worker.styles.limb_faults import Trouble
from worker.styles.style import Params
from worker.styles.worm_parameters import number

_LENGTH = {"fan": "fan_length", "horn": "horn", "eye": "eye_stalks", "feeler": "feeler_length", "leg": "leg_length"}
_ROOT = {"fan": "fan_width", "horn": "horn_root", "eye": "eye_stalks", "feeler": "feeler_root", "leg": "leg_root"}


def told(params: Params, trunk: Strand, trouble: Trouble) -> Fault:
    """The fault with the parameter to turn; how far, where a limb reaches past an end."""
    limb = trouble.limb
    length = "swimmeret_length" if "swimmeret" in limb.name else _LENGTH[limb.kind]
    if trouble.code in ("past-the-end", "ahead-of-nose"):
        return _shorter(params, trouble, length)
    if trouble.code in ("turns-too-tight", "runs-into-itself", "root-too-thick"):
        return Fault(f"/params/{_ROOT[limb.kind]}", trouble.code, trouble.detail, None)
    if trouble.code == "limbs-too-close" and trouble.other is not None:
        return Fault(f"/params/{_between(limb, trouble.other, length)}", trouble.code, trouble.detail, None)
    return Fault(f"/params/{length}", trouble.code, trouble.detail, None)


def _shorter(params: Params, trouble: Trouble, name: str) -> Fault:
    """A limb reaches in proportion to its length from where it leaves, about; a little less is sure to do."""
    limb, leaves = trouble.limb, 0.0 if trouble.limb.root is None else trouble.limb.root.leaves
    from_x = float(limb.path.frames(np.array([leaves]))[0][0, 0])
    reach = float(extent_of(limb)[1][0]) - from_x
    over = float(extent_of(limb)[1][0]) - number(params, "length")
    most = math.floor(number(params, name) * (1 - over / reach) - 1.0)
    return Fault(f"/params/{name}", trouble.code, trouble.detail, {"maximum": float(most), "unit": "mm"})


def _between(limb: Strand, other: Strand, length: str) -> str:
    """Of two limbs of one kind their number or thickness, else the length of the one that is out of place."""
    both = {limb.kind, other.kind}
    if both == {"leg"}:
        return length if "swimmeret" in limb.name else "leg_root"
    if both == {"feeler"}:
        return "feelers"
    return length if limb.kind != "eye" else "eye_stalks"
