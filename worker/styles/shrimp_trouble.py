"""Which parameters mend a shrimp's limb that is in trouble."""

from __future__ import annotations

from worker.strands.strand import Strand
from worker.styles.limb_faults import Trouble
from worker.styles.mending import Turn

_LENGTH = {"fan": "fan_length", "horn": "horn", "eye": "eye_stalks", "feeler": "feeler_length", "leg": "leg_length"}
_ROOT = {"fan": "fan_width", "horn": "horn_root", "eye": "eye_stalks", "feeler": "feeler_root", "leg": "leg_root"}


def turns_for(trouble: Trouble) -> tuple[Turn, ...]:
    """Parameters, the likeliest first, and whether they grow."""
    limb = trouble.limb
    root, length = _ROOT[limb.kind], _length_of(limb)
    match trouble.code:
        case "turns-too-tight" | "runs-into-itself":
            return (length, True), (root, False)
        case "root-too-thick":
            return ((root, False),)
        case "limbs-too-close" if trouble.other is not None:
            others = ((_length_of(trouble.other), False), (_ROOT[trouble.other.kind], False))
            fewer: tuple[Turn, ...] = (("feelers", False),) if limb.kind == "feeler" else ()
            return (root, False), (length, False), *fewer, *others, ("arch", False)
        case _:
            return (length, False), (root, False)


def _length_of(limb: Strand) -> str:
    return "swimmeret_length" if "swimmeret" in limb.name else _LENGTH[limb.kind]
