"""Does the cavity fill, and does it stay fed while the bait shrinks?"""

from __future__ import annotations

from worker.checks.answer import Answer, Remedy, Verdict
from worker.mould.layout import RUNNER_SHARE
from worker.mould.mould import Mould
from worker.mould.needles import HOLE, Needle
from worker.mould.thickness import AS_GOOD, LEAST_GATE, SIDES, feed_of
from worker.mould.vents import Tip

MOST = 0.6
"""Depth of a gate over the thickness that it feeds, from which the scar is large: common practice, no source."""


def vent(mould: Mould) -> Answer | None:
    """How many extremities have no vent, in the cavity that has the most of them."""
    if mould.plan is None or mould.plan.gating is None:
        return None
    lacking = [[tip for tip, found in tips if found is None] for tips in mould.plan.vents]
    worst = max(range(len(lacking)), key=lambda each: len(lacking[each]))
    without, tips = lacking[worst], mould.plan.vents[worst]
    drilled = [(tip, found) for tip, found in tips if isinstance(found, Needle)]
    if not without:
        text = f"Vents of {mould.material.vent.typical:g} mm reach every extremity that fills last: {len(tips)}."
        return Answer("vent", "pass", 0, 0, "extremities", f"{text}{_of_needles(drilled)}")
    names = list(dict.fromkeys(tip.strand for tip in without))
    they, have = ("it", "has") if len(without) == 1 else ("them", "have")
    text = (
        f"{len(without)} of {len(tips)} extremities ({', '.join(names)}){_of_cavity(mould, worst)} {have} no vent, "
        f"because other plastic of the bait lies over and under {they} along the draw: air stays there."
    )
    where = {"strands": names, "cavity": worst + 1}
    return Answer("vent", "fail", len(without), 0, "extremities", text, where)


def _of_needles(drilled: list[tuple[Tip, Needle]]) -> str:
    """Which extremities have a needle's hole, and through which half."""
    told = []
    for half in ("lower", "upper"):
        names = list(dict.fromkeys(tip.strand for tip, needle in drilled if needle.half == half))
        if names:
            told.append(f"{', '.join(names)} through the {half} half")
    if not told:
        return ""
    return (
        f" Of those the face does not reach, each has a hole of {HOLE:g} mm along the draw ({'; '.join(told)}): it "
        "leaves a nib to be cut off, and has to be kept free."
    )


def _of_cavity(mould: Mould, number: int) -> str:
    return f" of cavity {number + 1}" if mould.figures.cavities > 1 else ""


def gate(mould: Mould) -> Answer | None:
    """Depth of the gate over the thickness that it feeds; where it stands, and what the sprue holds."""
    gating, figures = None if mould.plan is None else mould.plan.gating, mould.figures
    if gating is None:
        return None
    share, fed, thickest = gating.gate.of_thickness, gating.feed.thickness, figures.thickest
    held = figures.sprue_volume / (figures.cavities * figures.cavity_volume)
    text = (
        f"A gate of {figures.gate_depth:.1f} x {figures.gate_width:.1f} mm feeds a section {fed:.1f} mm thick; it "
        f"freezes in {100 * min(share * share, 1):.0f} % of that section's time, which goes with the square of the "
        f"thickness. The sprue is {figures.sprue_diameter:.1f} mm thick, holds {100 * held:.0f} % of the cavities and "
        "freezes last."
    )
    verdict: Verdict = "pass"
    remedies: tuple[Remedy, ...] = ()
    if share > MOST * (1 + 1e-9):
        verdict = "caution"
        text += f" No side may be under {LEAST_GATE:g} mm, which is a wide scar on so thin a bait."
    if fed < AS_GOOD * thickest:
        verdict = "caution"
        text += f" The thickest place, {thickest:.1f} mm, is fed through thinner ones and may sink in."
        remedies = _at_the_thickest(mould)
    return Answer("gate", verdict, share, MOST, "of the thickness", text, {"side": gating.feed.side}, remedies)


def _at_the_thickest(mould: Mould) -> tuple[Remedy, ...]:
    if mould.asked["gate_at"] == "thickest":
        return ()
    thickness = mould.cavity.thickness
    free = [side for side in SIDES if side not in {pin.end for pin in mould.pins}]
    runner, share = RUNNER_SHARE * thickness.thickest / 2, float(mould.asked["gate_share"])
    feed = feed_of(thickness, "thickest", runner, share, free)
    if feed.thickness < AS_GOOD * thickness.thickest or MOST * feed.thickness < LEAST_GATE:
        return ()
    share = max(share, LEAST_GATE / feed.thickness)
    return (Remedy("a gate at the thickest place", {"mould": {"gate_at": "thickest"}}, share),)
