"""Are the parts of the mould whole, stout enough, and small enough for the machine that makes them?"""

from __future__ import annotations

from typing import Any

import numpy as np

from worker.checks.answer import Answer, Verdict
from worker.mould.block import BESIDE, CLEARANCE, DOWEL
from worker.mould.board import Place
from worker.mould.layout import APART
from worker.mould.mould import Mould
from worker.mould.plan import beside_sprue
from worker.strands.roots import Array

DOWEL_HOLE = DOWEL + CLEARANCE
"""Wider than a bolt's, mm."""


def island(mould: Mould) -> Answer | None:
    """The most pieces that a part of the mould is in; a hollow closed on all sides leaves one in the bait."""
    pieces = {name: len(half.parts) for name, half in mould.halves.items()}
    if not pieces:
        return None
    name = max(pieces, key=lambda each: pieces[each])
    if pieces[name] == 1:
        text = f"Each part is one closed piece; with all that is cut out they miss the block by {_share(mould)}."
        return Answer("island", "pass", 1, 1, "pieces", text)
    text = (
        f"The {name} half is in {pieces[name]} pieces: a hollow that is closed on all sides leaves an island of mould "
        "in the bait, and no core pin could be drawn out of it. Pour the bait without it and put in afterwards what "
        "belongs there."
    )
    if mould.cavity.face is not None:
        text += " A loop of limbs at different heights does so too where the face follows it; form flat does not."
    return Answer("island", "fail", pieces[name], 1, "pieces", text, {"half": name})


def _share(mould: Mould) -> str:
    return "under a millionth" if mould.balance < 1e-6 else f"{mould.balance:.1e} of it"


def wall(mould: Mould) -> Answer | None:
    """The mould that is thinnest for what it should be: the wall asked for around a cavity and to the next one, less
    beside the sprue, a bolt or a dowel.
    """
    if mould.plan is None:
        return None
    block = mould.plan.block
    below, above = mould.cavity.heights
    asked = mould.wall
    found: list[tuple[float, float, str]] = [(-block.low[2] - below, asked, "under the cavity")]
    if "upper" in mould.halves:
        found.append((block.high[2] - above, asked, "over the cavity"))
    sprue = None if mould.plan.gating is None else mould.plan.gating.sprue
    plans = [each.points(mould.cavity.vertices)[:, :2] for each in mould.plan.placed]
    for plan in plans:
        low, high = plan.min(axis=0), plan.max(axis=0)
        edges = (*(low - np.array(block.low[:2])), *(np.array(block.high[:2]) - high))
        found.append((float(min(edges)), asked, "beside the cavity"))
        for place in block.bolts + block.dowels:
            found.append((_apart(plan, place) - DOWEL_HOLE / 2, BESIDE, "beside a bolt or dowel"))
        if sprue is not None:
            found.append((_apart(plan, sprue.at) - sprue.reach, beside_sprue(asked), "beside the sprue"))
    found += [(apart, max(APART, asked), "between cavities") for apart in _between(plans)]
    _, thinnest, least, where = min((round(size / least, 6), round(size, 6), least, at) for size, least, at in found)
    text = f"Around the cavities the mould is thinnest {where}: {thinnest:.1f} mm, where {least:.1f} are wanted."
    verdict: Verdict = "pass" if thinnest >= least * (1 - 1e-6) else "caution"
    return Answer("wall", verdict, thinnest, least, "mm", text, {"place": where})


def _apart(plan: Array, place: Place) -> float:
    """mm from a place to the nearest point of a plan, (n, 2)."""
    return float(np.sqrt(((plan - np.array(place)) ** 2).sum(axis=1)).min())


def _between(plans: list[Any]) -> list[float]:
    """Gaps, mm, between the rectangles around cavities, where they are side by side."""
    gaps = []
    boxes = [(plan.min(axis=0), plan.max(axis=0)) for plan in plans]
    for number, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:number]:
            apart = np.maximum(np.maximum(other_low - high, low - other_high), 0)
            gaps.append(float(np.sqrt((apart * apart).sum())))
    return gaps
