"""Does the bait come out of the halves?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from worker.checks.answer import Answer, Remedy, Verdict
from worker.checks.subject import Subject
from worker.mould.core import Pin, bounds, cored, pin_of, standing
from worker.mould.mould import Mould
from worker.mould.undercut import Undercut
from worker.solid.join import joined
from worker.values.mould_materials import MOULD_MATERIALS, MouldMaterial

Halves = tuple[Undercut, ...]
NAMES = ("lower", "upper")


def undercut(mould: Mould) -> Answer | None:
    """The greatest share of its local width by which plastic lies behind a half."""
    halves, limit = _halves(mould), mould.material.undercut.typical
    if not halves:
        return None
    share = worst_share(halves)
    verdict = _verdict(share, mould.material)
    if share == 0:
        text = f"Nothing of the halves lies behind the plastic.{_of_face(mould)}"
        return Answer("undercut", verdict, 0, limit, "of the width", text)
    number = next(number for number, half in enumerate(halves) if float(half.share.max()) == share)
    where, text = _told(mould, NAMES[number], halves[number])
    remedies = () if verdict == "pass" else tuple(_remedies(mould, share))
    return Answer("undercut", verdict, share, limit, "of the width", text, where, remedies)


def trapped(mould: Mould) -> Answer | None:
    """The plan of all places where plastic holds the mould."""
    halves = _halves(mould)
    if not halves:
        return None
    area = sum(half.trapped for half in halves)
    if area == 0:
        return Answer("trapped", "pass", 0, 0, "mm2", "Plastic nowhere holds the mould.")
    number = max(range(len(halves)), key=lambda each: halves[each].trapped)
    where, _ = _told(mould, NAMES[number], halves[number])
    text = (
        f"Over {area:.3g} mm2 plastic holds the mould, most of it in the {NAMES[number]} half: the mould passes behind "
        "it from side to side or reaches into it. What lies there has to be drawn off endways, or tears."
    )
    better = _by_plane(mould)
    free = better is not None and not any(each.trapped for each in better)
    remedies = ((_plane_remedy(0.0),) if free else ()) + _by_face(mould, trapped=True)
    return Answer("trapped", "fail", area, 0, "mm2", text, where, remedies)


def _halves(mould: Mould) -> Halves:
    """The undercuts of the parts that are drawn off; an open mould has a lower one alone."""
    return mould.cavity.undercuts[: len(mould.halves)]


def core_remedy(subject: Subject, mould: Mould) -> Remedy | None:
    """Core pins, where they leave nothing behind the plastic; worked out with the same plane."""
    hollow, kept = cored(subject.hollows)
    if mould.asked["kind"] != "injected" or not hollow:
        return None
    tolerance = subject.request.tolerance
    whole = joined(subject.strands, tolerance, kept)
    cavity = replace(mould.cavity, bait=whole.vertices, triangles=whole.triangles)
    draft = float(mould.asked["core_draft"])
    pins = [pin_of(each, cavity.frame, bounds(cavity.bait), draft, tolerance) for each in hollow]
    drawn = [pin for pin in pins if isinstance(pin, Pin)]
    straight = len(standing(drawn, int(mould.asked["cavities"]))[0]) == len(pins)
    share = worst_share(cavity.undercuts)
    fine = straight and share <= mould.material.undercut.typical and not any(each.trapped for each in cavity.undercuts)
    return Remedy("core pins", {"mould": {"kind": "injected_with_core"}}, share) if fine else None


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
    share = f"{100 * depth / width:.0f} % of its {width:.1f} mm"
    if half.held[at]:
        share = "which holds it there"
    text = f"The {name} half lies {depth:.2f} mm behind the plastic, {share}, {along / growth:.1f} mm from the nose."
    return where, text


def _remedies(mould: Mould, share: float) -> Iterator[Remedy]:
    """Another plane, or a mould that gives; the plane has been worked out."""
    better = _by_plane(mould)
    if better is not None and worst_share(better) <= mould.material.undercut.typical:
        yield _plane_remedy(worst_share(better))
    yield from _by_face(mould)
    for material in MOULD_MATERIALS.values():
        if share <= material.undercut.typical:
            text = f"{material.name}, which comes off {100 * material.undercut.typical:g} % of the width"
            yield Remedy(text, {"mould": {"material": material.name}}, share)
            return


def _by_plane(mould: Mould) -> Halves | None:
    """The undercuts with the plane of least undercut and the form asked for, where another plane was given."""
    return None if mould.on_the_best_plane is None else mould.on_the_best_plane.undercuts


def _plane_remedy(gives: float) -> Remedy:
    change = {"parting": {"turn_deg": None, "height": None}}
    return Remedy("the plane of least undercut", {"mould": change}, gives)


def _by_face(mould: Mould, *, trapped: bool = False) -> tuple[Remedy, ...]:
    """Another face between the halves, which has been worked out."""
    if mould.coming_out is None:
        return ()
    change, cavity = mould.coming_out
    text = "a parting face that follows the bait" if "form" in change else "a steeper parting face"
    if "steepest_deg" in change:
        text += f", up to {change['steepest_deg']:g} degrees, which has to be fitted closely"
    return (Remedy(text, {"mould": {"parting": change}}, 0.0 if trapped else worst_share(cavity.undercuts)),)


def _of_face(mould: Mould) -> str:
    steepest = mould.cavity.steepest_deg
    return "" if steepest == 0 else f" Their face follows the bait, up to {steepest:.0f} degrees steep."
