"""Does the cavity fill, and does it stay fed while the bait shrinks?"""

from __future__ import annotations

from collections.abc import Iterator

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.subject import Subject
from worker.checks.thin_feature import limit_of_kind
from worker.mould.layout import Gate
from worker.mould.mould import Mould
from worker.mould.needles import HOLE, Needle
from worker.mould.plan import fed
from worker.mould.thickness import AS_GOOD, LEAST_GATE, LEAST_SHARE, MOST_GATE, Feed
from worker.mould.vents import Tip
from worker.values.mould import GATE_AT
from worker.values.mould_materials import MOULD_MATERIALS


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
    share, thick, thickest = gating.gate.of_thickness, gating.feed.thickness, figures.thickest
    held = figures.sprue_volume / (figures.cavities * figures.cavity_volume)
    text = (
        f"A gate of {figures.gate_depth:.1f} x {figures.gate_width:.1f} mm feeds a section {thick:.1f} mm thick; it "
        f"freezes in {100 * min(share * share, 1):.0f} % of that section's time, which goes with the square of the "
        f"thickness. The sprue is {figures.sprue_diameter:.1f} mm thick, holds {100 * held:.0f} % of the cavities and "
        "freezes last."
    )
    if _fine(gating.feed, gating.gate, thickest):
        return Answer("gate", "pass", share, MOST_GATE, "of the thickness", text, {"side": gating.feed.side})
    if share > MOST_GATE * (1 + NEARLY):
        text += f" No side may be under {LEAST_GATE:g} mm, which is a wide scar on so thin a bait."
    if thick < AS_GOOD * thickest:
        text += f" The thickest place, {thickest:.1f} mm, is fed through thinner ones and may sink in."
    if gating.gate.of_area < LEAST_SHARE * (1 - NEARLY):
        text += (
            f" It has {100 * gating.gate.of_area:.0f} % of the section that it feeds, where {100 * LEAST_SHARE:.0f} % "
            "are wanted, for the side offers no more there: shoot it slowly, and keep the pressure on."
        )
    where = {"side": gating.feed.side}
    return Answer("gate", "caution", share, MOST_GATE, "of the thickness", text, where, _elsewhere(mould))


NEARLY = 1e-9


def _fine(feed: Feed, gate_: Gate, thickest: float) -> bool:
    """Whether a gate feeds the thickest place through enough of its section, and leaves no wide scar."""
    thin_enough = gate_.of_thickness <= MOST_GATE * (1 + NEARLY)
    return thin_enough and feed.thickness >= AS_GOOD * thickest and gate_.of_area >= LEAST_SHARE * (1 - NEARLY)


def _elsewhere(mould: Mould) -> tuple[Remedy, ...]:
    """The first of the other places of a gate where it passes."""
    thickness = mould.cavity.thickness
    for place in GATE_AT.choices or ():
        feed, gate_, _ = fed(thickness, {**mould.asked, "gate_at": place}, mould.pins, mould.figures.sprue_diameter)
        if place != mould.asked["gate_at"] and _fine(feed, gate_, thickness.thickest):
            text = "a gate at the thickest place" if place == "thickest" else f"the gate at the {place}"
            return (Remedy(text, {"mould": {"gate_at": place}}, gate_.of_thickness),)
    return ()


def fill(subject: Subject, mould: Mould) -> Answer | None:
    """The place that is thinnest for what has to fill there, as it is in the mould, against what its material fills.

    What of it passes is told by `thin_limit`: of limbs two thirds, but 0.8 mm. Not asked of what is dipped, nor of a
    bait in pieces.
    """
    if mould.plan is None or subject.pieces > 1:
        return None
    least, growth = mould.material.least_fill, mould.cavity.frame.growth
    place = min(subject.thin_places, key=lambda each: round(each.across / limit_of_kind(least.typical, each.kind), 9))
    across, limit = place.across * growth, limit_of_kind(least.typical, place.kind)
    verdict = graded(across, limit, limit * least.low / least.typical)
    text = (
        f"The thinnest place of the cavity is {across:.2f} mm, in the {place.strand}; {mould.material.name} fills "
        f"{limit:.3g} mm there"
    )
    where = {"strand": place.strand, "station_mm": round(place.station, 3)}
    if verdict == "pass":
        return Answer("fill", verdict, across, limit, "mm", f"{text}.", where)
    text += f", in a warm mould {limit * least.low / least.typical:.3g} mm."
    return Answer("fill", verdict, across, limit, "mm", text, where, tuple(_in_another(subject, mould)))


def _in_another(subject: Subject, mould: Mould) -> Iterator[Remedy]:
    """The first other material whose moulds fill it, which is a question of how fast they take the heat away."""
    growth = mould.cavity.frame.growth
    for material in MOULD_MATERIALS.values():
        limits = [limit_of_kind(material.least_fill.typical, each.kind) for each in subject.thin_places]
        spare, across = min(
            (each.across * growth / limit, each.across * growth)
            for each, limit in zip(subject.thin_places, limits, strict=True)
        )
        if spare >= 1:
            yield Remedy(f"a mould of {material.name}", {"mould": {"material": material.name}}, across)
            return
