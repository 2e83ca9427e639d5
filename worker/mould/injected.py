"""A mould of two halves that is shot through a gate, with core pins where they are asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.mould.cavity import Cavity, cavity_of, given
from worker.mould.core import CLEARANCE, HANDLE, Pin, bounds, cored, pin_of, standing
from worker.mould.faced import faced
from worker.mould.layout import Placed
from worker.mould.mould import Filled, Mould
from worker.mould.numbers import numbers
from worker.mould.plan import Plan, planned
from worker.mould.stock import stock_of
from worker.solid.carve import apart, carved, cutter
from worker.solid.join import joined
from worker.solid.shapes import Mesh
from worker.solid.solid import Solid
from worker.values.mould_materials import MOULD_MATERIALS, MouldMaterial


def material_of(asked: Mapping[str, Any]) -> tuple[MouldMaterial, float]:
    """The material and the wall that is asked for, mm."""
    material = MOULD_MATERIALS[asked["material"]]
    return material, float(asked.get("wall", material.wall.typical))


def injected(subject: Subject, solid: Solid, asked: Mapping[str, Any]) -> Mould:
    """The mould of a bait's solid. Raises GeometryFailed."""
    material, wall = material_of(asked)
    cavity, pins, uncored = with_core(subject, solid, asked, material)
    volume = _left_by(cavity, pins)
    plan = planned(cavity, volume, asked, material, wall, pins)
    if plan.gating is None:
        raise ValueError("a mould that is shot has a gate")
    cavities = apart([(placed.points(cavity.vertices), cavity.triangles) for placed in plan.placed])
    runners, sprue = cutter(plan.gating.channels.meshes()), cutter([plan.gating.sprue.plastic()])
    poured = cutter([], runners, sprue)
    stocks, vents = stock_of(plan, cavity.face, material.vent.typical)
    seats = [mesh for placed in plan.placed for mesh in _seats(plan, placed, pins)]
    others = (
        cutter(
            [*plan.block.lower_cuts(), *vents.plain, *seats, *plan.needles("lower")],
            numbers(plan.plates),
            *vents.draped,
        ),
        cutter([*plan.block.upper_cuts(), plan.gating.sprue.seat(), *seats, *plan.needles("upper")]),
    )
    dug = [stock.less(other) for stock, other in zip(stocks, others, strict=True)]
    filled = cutter([], poured, cavities)
    parts = {name: carved(each, [filled]) for name, each in zip(("lower", "upper"), dug, strict=True)}
    # What is cut out of a cavity already counts as that alone. Only its skin beside the channels and the other cuts is
    # needed for it, which is a small body; so the large one is cut with once and no more.
    skin = cavities.common(cutter([], poured, *others))
    channels, sprue_alone = runners.less(sprue).less(skin), sprue.less(skin)
    taken = cutter([], poured, skin)
    lost = sum(
        stock.volume - left.volume - other.common(taken).common(stock).volume
        for stock, left, other in zip(stocks, dug, others, strict=True)
    )
    block = sum(stock.volume for stock in stocks)
    whole_of = sum(part.volume for part in parts.values()) + cavities.volume + channels.volume + sprue_alone.volume
    if pins:
        parts["core"] = _core(plan, pins)
    return Mould(
        asked,
        material,
        wall,
        cavity,
        plan,
        parts,
        Filled(
            len(plan.placed) * volume,
            channels.volume,
            sprue_alone.volume,
            channels.plan_area + sprue_alone.plan_area,
        ),
        abs(whole_of + lost - block) / block,
        pins,
        uncored,
    )


def _left_by(cavity: Cavity, pins: Sequence[Pin]) -> float:
    """mm3 of plastic in one cavity, beside its pins."""
    if not pins:
        return cavity.net_volume
    whole = cutter([(cavity.vertices, cavity.triangles)])
    return whole.volume - cutter([pin.mesh for pin in pins]).common(whole).volume


def with_core(
    subject: Subject, solid: Solid, asked: Mapping[str, Any], material: MouldMaterial
) -> tuple[Cavity, tuple[Pin, ...], tuple[str, ...]]:
    """The cavity, the pins that stand in it, and why other hollows have none. Raises GeometryFailed."""
    along = asked["parting"]["form"] == "following"
    if asked["kind"] != "injected_with_core":
        cavity = cavity_of(subject, solid, solid, given(asked), along)
        return faced(cavity, asked, material, lambda each: ()), (), ()
    tolerance = subject.request.tolerance
    hollow, kept = cored(subject.hollows)

    def pins_in(cavity: Cavity) -> tuple[list[Pin], list[str]]:
        found = [pin_of(each, cavity.frame, bounds(cavity.bait), asked["core_draft"], tolerance) for each in hollow]
        held, lost = standing([each for each in found if isinstance(each, Pin)], int(asked["cavities"]))
        return held, [*(each for each in found if isinstance(each, str)), *lost]

    cavity = cavity_of(subject, joined(subject.strands, tolerance, kept), solid, given(asked), along)
    cavity = faced(cavity, asked, material, lambda each: pins_in(each)[0])
    held, reasons = pins_in(cavity)
    return cavity, tuple(held), tuple(reasons)


def _seats(plan: Plan, placed: Placed, pins: tuple[Pin, ...]) -> list[Mesh]:
    made = []
    for pin in pins:
        vertices, triangles = pin.shank(_to_outside(plan, placed, pin) + 1.0, CLEARANCE)
        made.append((placed.points(vertices), triangles))
    return made


def _to_outside(plan: Plan, placed: Placed, pin: Pin) -> float:
    """mm from a pin's mouth to the face of the block that it comes out of."""
    mouth, support = placed.points(np.array([pin.mouth, pin.support]))
    axis = int(np.argmax(np.abs(support - mouth)))
    edge = plan.block.high[axis] if support[axis] > mouth[axis] else plan.block.low[axis]
    return abs(edge - float(mouth[axis]))


def _core(plan: Plan, pins: tuple[Pin, ...]) -> Solid:
    """The pins of the first cavity, in its place, each with its shank."""
    first = plan.placed[0]
    meshes = []
    for pin in pins:
        for vertices, triangles in (pin.mesh, pin.shank(_to_outside(plan, first, pin) + HANDLE, 0.0)):
            meshes.append((first.points(vertices), triangles))
    return carved(cutter(meshes), [])
