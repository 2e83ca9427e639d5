"""Is what is hollow left hollow, and is the whole bait made?"""

from __future__ import annotations

from worker.checks.answer import Answer, Remedy, Verdict
from worker.mould.mould import Mould

LEVEL, HALF = 0.02, 0.5
"""Shares of the bait over an open face that pass, and from which it is another bait (judgement)."""


def core(mould: Mould) -> Answer | None:
    """How many hollows should have a pin and have none."""
    if mould.asked["kind"] not in ("injected_with_core", "dipped"):
        return None
    pins = ", ".join(
        f"{pin.strand} ({2 * pin.radius:.1f} mm, out at the {pin.end}, its draft makes the wall up to "
        f"{pin.gain:.2f} mm thicker)"
        for pin in mould.pins
    )
    text = f"Pins leave: {pins or 'nothing'}."
    if any(each.kind == "cut" for each in mould.cavity.hollows):
        text += " Its cuts are made in the bait afterwards."
    if not mould.uncored:
        return Answer("core", "pass", 0, 0, "hollows", text)
    reasons = "; ".join(mould.uncored)
    return Answer("core", "fail", len(mould.uncored), 0, "hollows", f"{text} {reasons[0].upper()}{reasons[1:]}.")


def open_face(mould: Mould) -> Answer | None:
    """What share of the bait stands over the open face, and is not made."""
    if mould.asked["kind"] != "open_pour":
        return None
    figures = mould.figures
    share = max(0.0, 1 - figures.cavity_volume / mould.cavity.net_volume)
    verdict: Verdict = "pass" if share <= LEVEL else "caution" if share < HALF else "fail"
    text = f"Poured level, the bait is flat on its open side and {100 * share:.1f} % of it is not made."
    remedies = () if verdict == "pass" else (Remedy("two halves", {"mould": {"kind": "injected"}}, 0.0),)
    return Answer("open_face", verdict, share, LEVEL, "of the bait", text, None, remedies)
