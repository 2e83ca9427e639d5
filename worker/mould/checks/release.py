"""Does the bait come out of the halves?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from worker.checks.answer import Answer, Remedy, Verdict
from worker.mould.cavity import with_least_undercut
from worker.mould.mould import Mould
from worker.mould.undercut import Undercut
from worker.values.mould_materials import MOULD_MATERIALS, MouldMaterial

Halves = tuple[Undercut, Undercut]
NAMES = ("lower", "upper")


def undercut(mould: Mould) -> Answer:
    """The greatest share of its local width by which plastic lies behind a half."""
    halves, limit = mould.cavity.undercuts, mould.material.undercut.typical
    share = worst_share(halves)
    verdict = _verdict(share, mould.material)
    if share == 0:
        text = "Nothing of the halves lies behind the plastic."
        return Answer("undercut", verdict, 0, limit, "of the width", text)
    number = 0 if float(halves[0].share.max()) == share else 1
    where, text = _told(mould, NAMES[number], halves[number])
    remedies = () if verdict == "pass" else tuple(_remedies(mould, share))
    return Answer("undercut", verdict, share, limit, "of the width", text, where, remedies)


def trapped(mould: Mould) -> Answer:
    """The plan of all places where the mould passes behind the plastic from side to side."""
    halves = mould.cavity.undercuts
    area = sum(half.trapped for half in halves)
    if area == 0:
        return Answer("trapped", "pass", 0, 0, "mm2", "The mould nowhere passes behind the plastic from side to side.")
    number = 0 if halves[0].trapped >= halves[1].trapped else 1
    where, _ = _told(mould, NAMES[number], halves[number])
    text = (
        f"Over {area:.3g} mm2 the mould passes behind the plastic from side to side, most of it in the {NAMES[number]} "
        "half: what lies there has to be drawn out endways, or tears. Lay it in the parting plane."
    )
    better = _by_plane(mould)
    free = better is not None and not any(each.trapped for each in better)
    return Answer("trapped", "fail", area, 0, "mm2", text, where, (_plane_remedy(0.0),) if free else ())


def worst_share(halves: Halves) -> float:
    """The greater of the halves' greatest shares."""
    return max(float(half.share.max()) for half in halves)


def _verdict(share: float, material: MouldMaterial) -> Verdict:
    if share <= material.undercut.typical:
        return "pass"
    return "caution" if share <= material.undercut.high else "fail"


def _told(mould: Mould, name: str, half: Undercut) -> tuple[dict[str, Any], str]:
    at = half.worst
    if at is None:
        raise ValueError("nothing lies behind this half")
    columns, growth = mould.cavity.columns, mould.cavity.frame.growth
    along, across = columns.x0 + columns.cell * at[0], columns.y0 + columns.cell * at[1]
    depth, width = float(half.depth[at]), float(half.width[at])
    where = {"half": name, "station_mm": round(along / growth, 2), "aside_mm": round(across / growth, 2)}
    text = (
        f"The {name} half lies {depth:.2f} mm behind the plastic, {100 * depth / width:.0f} % of its {width:.1f} mm, "
        f"{along / growth:.1f} mm from the nose."
    )
    return where, text


def _remedies(mould: Mould, share: float) -> Iterator[Remedy]:
    """Another plane, or a mould that gives; the plane has been worked out."""
    better = _by_plane(mould)
    if better is not None and worst_share(better) <= mould.material.undercut.typical:
        yield _plane_remedy(worst_share(better))
    for material in MOULD_MATERIALS.values():
        if share <= material.undercut.typical:
            text = f"{material.name}, which comes off {100 * material.undercut.typical:g} % of the width"
            yield Remedy(text, {"mould": {"material": material.name}}, share)
            return


def _by_plane(mould: Mould) -> Halves | None:
    """The undercuts with the plane of least undercut, where another one was given."""
    return None if mould.cavity.searched else with_least_undercut(mould.cavity).undercuts


def _plane_remedy(gives: float) -> Remedy:
    return Remedy("the plane of least undercut", {"mould": {"parting": None}}, gives)
