"""Do the parts of the mould fit the machine that makes them?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from worker.checks.answer import Answer, Remedy
from worker.mould.block import DOWEL_LENGTH, Block
from worker.mould.mould import Mould
from worker.mould.plan import planned
from worker.values.mould import WALL

Size = tuple[float, float, float]


def bed(mould: Mould) -> Answer:
    """The greatest size of a half over the room that there is for it, lying either way."""
    asked = mould.asked["bed"]
    sizes = [part.extent for part in mould.parts.values()]
    share = max(_share_of_bed(each, asked) for each in sizes)
    length, width, height = (max(each[axis] for each in sizes) for axis in range(3))
    text = (
        f"The parts take up to {length:.0f} x {width:.0f} x {height:.0f} mm of a bed of {asked['length']:g} x "
        f"{asked['width']:g} x {asked['height']:g} mm."
    )
    if share <= 1:
        return Answer("bed", "pass", share, 1, "of the bed", text)
    return Answer("bed", "fail", share, 1, "of the bed", text, None, tuple(_smaller(mould)))


def _share_of_bed(size: Size, asked: Mapping[str, Any]) -> float:
    room: tuple[float, float] = (asked["length"], asked["width"])
    ways = (size[0] / room[0], size[1] / room[1]), (size[1] / room[0], size[0] / room[1])
    return max(min(max(way) for way in ways), size[2] / float(asked["height"]))


def _smaller(mould: Mould) -> Iterator[Remedy]:
    """A thinner wall, the gate at the nose, which lays cavities side by side, or as many cavities as the bed takes."""
    if mould.plan is None or mould.plan.gating is None:
        return
    thinner = _thinner(mould)
    if thinner is not None:
        yield thinner
    if mould.asked["gate_at"] == "thickest":
        share = _with(mould, {"gate_at": "nose"}, mould.wall)
        if share <= 1:
            yield Remedy("the gate at the nose", {"mould": {"gate_at": "nose"}}, share)
    for number in range(int(mould.asked["cavities"]) - 1, 0, -1):
        share = _with(mould, {"cavities": number}, mould.wall)
        if share <= 1:
            text = f"{number} cavities" if number > 1 else "one cavity"
            yield Remedy(text, {"mould": {"cavities": number}}, share)
            return


def _thinner(mould: Mould) -> Remedy | None:
    """The thickest wall, down to the least of the mould's material, with which the parts fit."""
    step = WALL.step or 0.5
    least = max(mould.material.wall.low, WALL.minimum or 0.0)
    many = int((mould.wall - least) / step + 1e-9)
    if many < 1 or _with(mould, {}, mould.wall - many * step) > 1:
        return None
    fits, fails = many, 0
    while fits - fails > 1:
        tried = (fits + fails) // 2
        if _with(mould, {}, mould.wall - tried * step) <= 1:
            fits = tried
        else:
            fails = tried
    wall = round(mould.wall - fits * step, 6)
    text = f"a wall of {wall:g} mm, where {mould.material.name} wants {mould.material.wall.low:g} at least"
    return Remedy(text, {"mould": {"wall": wall}}, _with(mould, {}, wall))


def _with(mould: Mould, change: Mapping[str, Any], wall: float) -> float:
    """The share of the bed with another mould of the same cavity; the pins stay as long, or grow shorter with it."""
    asked = {**mould.asked, **change}
    plan = planned(mould.cavity, mould.figures.cavity_volume, asked, mould.material, wall, mould.pins)
    shares = [_share_of_bed(size, asked["bed"]) for size in _halves(plan.block, mould)]
    if "core" in mould.parts:
        shares.append(_share_of_bed(mould.parts["core"].extent, asked["bed"]))
    return max(shares)


def _halves(block: Block, mould: Mould) -> tuple[Size, Size]:
    """Sizes of the lower half, with what stands out of its face, and of the upper one."""
    length, width, _ = block.size
    face = mould.cavity.face
    low, high = (0.0, 0.0) if face is None else (float(face.heights.min()), float(face.heights.max()))
    dowels = DOWEL_LENGTH if block.cast else 0.0
    return (length, width, max(high, dowels) - block.low[2]), (length, width, block.high[2] - min(low, 0.0))
