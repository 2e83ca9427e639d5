"""What limbs that have grown to a bait cannot do: fold up, stick out at their root, run into the bait or each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.strands.turning import too_tight
from worker.styles.clearance import LEAST_GAP, comes_back, from_middle, root_shows, too_near


@dataclass(frozen=True)
class Trouble:
    """One thing wrong with one limb: a fault's `code`, the sentence for it, and the limb that `other` is too near to."""

    code: str
    limb: Strand
    detail: str
    other: Strand | None = None


Told = Callable[[Trouble], Fault]


def limb_faults(trunk: Strand, strands: Sequence[Strand], told: Told) -> Iterator[Fault]:
    """`told` names the parameter to turn, and how far, for the first trouble of every limb. Right limbs are not asked:
    they are as their left ones."""
    limbs = [strand for strand in strands if strand.limb and not strand.name.startswith("right")]
    paired = {strand.name.replace("right", "left", 1) for strand in strands if strand.name.startswith("right")}
    seen: set[str] = set()
    for limb in limbs:
        trouble = trouble_of(limb, trunk, paired=limb.name in paired)
        if trouble is not None:
            seen.add(limb.name)
            yield told(trouble)
    for one, other, between in too_near([limb for limb in limbs if limb.name not in seen]):
        if not seen & {one.name, other.name}:
            seen.add(other.name)
            yield told(Trouble("limbs-too-close", other, _too_close(one, other, between), one))


def trouble_of(limb: Strand, trunk: Strand, *, paired: bool) -> Trouble | None:
    """What is wrong with a limb by itself; `paired` limbs have a counterpart on the right to keep clear of."""
    turn = too_tight(limb)
    if turn is not None:
        detail = (
            f"The {limb.name} turns on a radius of {turn.radius:.3g} mm, {turn.station:.3g} mm from its root, "
            f"and is too thick for it there: a radius of {turn.needed:.3g} mm would do."
        )
        return Trouble("turns-too-tight", limb, detail)
    if limb.root is None or limb.root.parent != trunk.name:
        return None
    if root_shows(limb, trunk):
        return Trouble("root-too-thick", limb, f"The {limb.name} is too thick at its root to grow out of the body there.")
    if comes_back(limb, trunk):
        return Trouble("runs-into-body", limb, f"The {limb.name} leaves the body and runs into it again.")
    aside = from_middle(limb) if paired else LEAST_GAP
    if aside < LEAST_GAP / 2:
        gap = max(2 * aside, 0.0)
        detail = f"The {limb.name} leaves {gap:.2g} mm between itself and its counterpart; {LEAST_GAP:g} mm is the least."
        return Trouble("limbs-meet", limb, detail)
    return None


def _too_close(one: Strand, other: Strand, between: float) -> str:
    if between <= 0:
        return f"The {other.name} runs into the {one.name}."
    return f"There are {between:.2g} mm between the {one.name} and the {other.name}; {LEAST_GAP:g} mm is the least."


def first_that_does(values: Sequence[float], does: Callable[[float], bool]) -> float | None:
    """The first of `values` that does; None where none does."""
    return next((value for value in values if does(value)), None)
