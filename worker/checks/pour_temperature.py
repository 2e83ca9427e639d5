"""Does the plastic fuse at the pour, and stay sound? And does the mould bear it?"""

from __future__ import annotations

from dataclasses import replace

from worker.checks.answer import Answer, Remedy, Verdict
from worker.checks.subject import Subject
from worker.values.mould_materials import mould_material
from worker.values.pouring import FUSES_C, GENTLE_C, HARSH_C, NEVER_C

BEARS_BEYOND_C = 20.0
"""By so much a printed or cast mould's deflection temperature has to lie over the pour (judgement)."""
USUAL_C = 175.0
CHECK = "pour_temperature"
WORSE: tuple[Verdict, ...] = ("pass", "caution", "fail")
"""Each worse than the one before."""


def pour_temperature(subject: Subject) -> Answer | None:
    """Not asked of a bait without a shot. Under 160 °C it has not fused; above 180 caution; from 220 never.

    A mould in a material with a deflection temperature has to bear 20 °C more than the pour; what the heat does to the
    plastic, and whoever breathes over it, is said beside that.
    """
    shot = subject.request.normal.get("shot")
    if shot is None:
        return None
    pour = float(shot["pour_temperature_c"])
    material = mould_material(subject.request.normal)
    bears = material.deflection
    verdict, limit, text = _judged(pour)
    if bears is not None and pour + BEARS_BEYOND_C > bears.typical:
        mould = _mould_gives(subject, pour, material.name, bears.typical, bears.high)
        if verdict == "pass":
            return mould
        return replace(mould, verdict=max(mould.verdict, verdict, key=WORSE.index), text=f"{mould.text} {text}")
    remedies = () if verdict == "pass" else _remedies(subject, pour, None if bears is None else bears.typical)
    return Answer(CHECK, verdict, pour, limit, "°C", text, None, remedies)


def _remedies(subject: Subject, pour: float, bears: float | None) -> tuple[Remedy, ...]:
    """A sound temperature that the mould bears, too; where it bears none, another mould."""
    most = USUAL_C if bears is None else min(USUAL_C, bears - BEARS_BEYOND_C)
    return (_remedy(most),) if most >= FUSES_C else (_material(subject, pour),)


def _judged(pour: float) -> tuple[Verdict, float, str]:
    if pour < FUSES_C:
        return "fail", FUSES_C, f"At {pour:g} °C plastisol has not fused and is weak: it fuses from {FUSES_C:g} °C on."
    if pour <= GENTLE_C:
        return (
            "pass",
            GENTLE_C,
            f"{pour:g} °C lies between {FUSES_C:g} and {GENTLE_C:g} °C, where plastisol fuses soundly.",
        )
    if pour <= HARSH_C:
        return "caution", GENTLE_C, f"Above {GENTLE_C:g} °C plastisol begins to decompose and to yellow: {pour:g} °C."
    if pour < NEVER_C:
        text = (
            f"At {pour:g} °C plastisol decomposes fast and gives off hydrogen chloride: extraction and a respirator by "
            f"the supplier's sheet, or stay at or under {GENTLE_C:g} °C."
        )
        return "caution", GENTLE_C, f"Strong caution. {text}"
    text = f"No pour at {pour:g} °C is recommended: from {NEVER_C:g} °C on plastisol decomposes while it is poured."
    return "fail", GENTLE_C, text


def _mould_gives(subject: Subject, pour: float, material: str, bears: float, best: float) -> Answer:
    """The mould gives way before the pour does harm to the plastic."""
    text = (
        f"A {material} mould gives way at {bears:g} °C, and a pour of {pour:g} °C asks for {pour + BEARS_BEYOND_C:g}: "
        "aluminium or plaster bears it."
    )
    verdict: Verdict = "fail"
    if pour + BEARS_BEYOND_C <= best:
        verdict = "caution"
        text = (
            f"Only the best {material}s bear {pour + BEARS_BEYOND_C:g} °C, 20 over the pour: know the deflection "
            f"temperature of yours; a usual one gives way at {bears:g} °C."
        )
    remedies = [_material(subject, pour)]
    cooler = bears - BEARS_BEYOND_C
    if FUSES_C <= cooler <= GENTLE_C:
        remedies.insert(0, _remedy(cooler))
    return Answer(CHECK, verdict, pour, cooler, "°C", text, None, tuple(remedies))


def _material(subject: Subject, pour: float) -> Remedy:
    """Aluminium; where no mould is asked for but a master is cast, plaster."""
    name, patch = "aluminium", {"mould": {"material": "aluminium"}}
    if "mould" not in subject.request.normal:
        name, patch = "plaster", {"print": {"cast_in": "plaster"}}
    temperature = pour if FUSES_C <= pour <= GENTLE_C else USUAL_C
    changes = {**patch, "shot": {"pour_temperature_c": temperature}}
    return Remedy(f"a mould in {name}, poured at {temperature:g} °C", changes, temperature)


def _remedy(temperature: float) -> Remedy:
    return Remedy(f"pour at {temperature:g} °C", {"shot": {"pour_temperature_c": temperature}}, temperature)
