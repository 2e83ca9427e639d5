"""What limbs that have grown to a bait cannot do: fold up, stick out at their root, run into the bait or each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from worker.errors import Fault
from worker.measures.strand.extent import extent_of
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP, from_middle, leaving, span, too_near
from worker.styles.style import Params
from worker.styles.turns import turn_faults
from worker.styles.worm_parameters import number

BEYOND = 1e-3
"""A limb may reach so far past the bait's ends, mm: the estimate of a reach is as good as that."""


@dataclass(frozen=True)
class Trouble:
    """One thing wrong with a limb: a fault's `code` and sentence, and the `other` limb that it is too near to."""

    code: str
    limb: Strand
    detail: str
    other: Strand | None = None


Told = Callable[[Trouble], Fault]
"""Names the parameter to turn, and how far."""


def thins_out(params: Params, *limbs: tuple[str, str, str]) -> Iterator[Fault]:
    """Faults of limbs that are thicker at their tip than at their root: parameters of tip and root, and "A leg"."""
    for tip, root, what in limbs:
        most = number(params, root)
        if number(params, tip) > most:
            detail = f"{what} thins out: at most {most:g} mm at its tip, not {number(params, tip):g} mm."
            yield Fault(f"/params/{tip}", "tip-too-thick", detail, {"maximum": most, "unit": "mm"})


def limb_faults(
    trunk: Strand, strands: Sequence[Strand], length: float, told: Told, *, together: Sequence[str] = ()
) -> Iterator[Fault]:
    """The first trouble of every limb of a bait `length` mm long; right limbs are as their left ones.

    Limbs of the kinds `together` may run into each other, as the lobes of a fan do; tails see to themselves.
    """
    limbs = [strand for strand in strands if strand.limb and not strand.name.startswith("right")]
    paired = {strand.name.replace("right", "left", 1) for strand in strands if strand.name.startswith("right")}
    sound = []
    for limb in limbs:
        alone = limb.name not in paired or limb.kind in together
        found = next(troubles(limb, trunk, length, paired=not alone), None)
        if found is None:
            sound.append(limb)
        else:
            yield told(found)
    crowded: set[str] = set()
    for one, other, between in too_near(sound):
        if {one.name, other.name} & crowded or (one.kind == other.kind and one.kind in together):
            continue
        crowded.add(other.name)
        yield told(Trouble("limbs-too-close", other, _too_close(one, other, between), one))


def troubles(limb: Strand, trunk: Strand, length: float, *, paired: bool) -> Iterator[Trouble]:
    """What is wrong with a limb by itself; a `paired` one has a counterpart on the right to keep clear of."""
    for fault in turn_faults(limb, ""):
        yield Trouble(fault.code, limb, fault.detail)
    if limb.root is None or limb.root.parent != trunk.name:
        return
    left = leaving(limb, trunk)
    if left.root_shows:
        yield Trouble(
            "root-too-thick", limb, f"The {limb.name} is too thick at its root to grow out of the body there."
        )
    if left.comes_back:
        yield Trouble("runs-into-body", limb, f"The {limb.name} leaves the body and runs into it again.")
    aside = from_middle(limb) if paired else LEAST_GAP
    if aside < LEAST_GAP / 2:
        room = f"leaves {2 * aside:.2g} mm between itself and" if aside > 0 else "runs into"
        detail = f"The {limb.name} {room} its counterpart on the right; {LEAST_GAP:g} mm are the least between them."
        yield Trouble("limbs-meet", limb, detail)
    low, high = span(limb)
    if low >= 0 and high <= length:
        return
    low, high = (float(corner[0]) for corner in extent_of(limb))
    if low < -BEYOND:
        yield Trouble("ahead-of-nose", limb, f"The {limb.name} would reach {-low:.3g} mm ahead of the nose.")
    if high > length + BEYOND:
        yield Trouble("past-the-end", limb, f"The {limb.name} would reach {high - length:.3g} mm past the bait's end.")


def _too_close(one: Strand, other: Strand, between: float) -> str:
    if between <= 0:
        return f"The {other.name} runs into the {one.name}."
    return f"There are {between:.2g} mm between the {one.name} and the {other.name}; {LEAST_GAP:g} mm are the least."
