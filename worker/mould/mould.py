"""A mould of two halves that is shot through a gate, from the cavity to the closed meshes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.mould.block import Block, block_around
from worker.mould.board import Board, Place
from worker.mould.cavity import Cavity, cavity_of
from worker.mould.layout import RUNNER_SHARE, Channels, Gate, Placed, channels_of, gate_of, rows_of
from worker.mould.marks import plate, size
from worker.mould.sprue import Sprue, sprue_of
from worker.mould.thickness import Feed, feed_of
from worker.mould.vents import ESCAPE_WIDTH, Tip, Vent, vent_at
from worker.solid.carve import Cutter, apart, carved, cutter
from worker.solid.solid import Solid
from worker.values.mould_figures import MouldFigures
from worker.values.mould_materials import MOULD_MATERIALS, MouldMaterial

BESIDE_SPRUE = 4.0
"""Least mould between the sprue and a cavity, mm (judgement); half a wall where that is more."""
FLOOR = 4.0
"""Least mould under the sprue and the runners, mm."""


@dataclass(frozen=True)
class Plan:
    """Where all of it lies. `vents` has for each cavity its tips, each with its vent or None."""

    placed: list[Placed]
    feed: Feed
    gate: Gate
    channels: Channels
    sprue: Sprue
    block: Block
    vents: list[list[tuple[Tip, Vent | None]]]
    plates: list[tuple[str, Place]]


@dataclass(frozen=True)
class Mould:
    """`asked` in normal form. Halves lie as they are when closed, z = 0 the parting plane; mm."""

    asked: Mapping[str, Any]
    material: MouldMaterial
    wall: float
    cavity: Cavity
    bait_volume: float
    plan: Plan
    lower: Solid
    upper: Solid
    cavities: Cutter
    channels: Cutter
    sprue: Cutter
    other_cuts: float
    stock: float

    @property
    def halves(self) -> dict[str, Solid]:
        """The parts by name."""
        return {"lower": self.lower, "upper": self.upper}

    @cached_property
    def balance(self) -> float:
        """By what share of the block the halves with all that is cut out of them miss it."""
        parts = self.lower.volume + self.upper.volume + self.cavities.volume + self.channels.volume + self.sprue.volume
        return abs(parts + self.other_cuts - self.stock) / self.stock

    @cached_property
    def figures(self) -> MouldFigures:
        """In numbers."""
        plan, count = self.plan, int(self.asked["cavities"])
        columns = self.cavity.columns
        sprue, channels = self.sprue.volume, self.channels.volume
        shadow = count * float(columns.plan.sum()) * columns.cell**2
        length, width, height = plan.block.size
        return MouldFigures(
            kind=self.asked["kind"],
            material=self.material.name,
            cavities=count,
            cavity_volume=self.cavities.volume / count,
            channels_volume=channels,
            sprue_volume=sprue,
            sprue_diameter=2 * plan.sprue.top,
            sprue_length=plan.sprue.length,
            runner_length=plan.channels.runner_length,
            runner_diameter=2 * plan.channels.runner_radius,
            projected_area=shadow + self.channels.plan_area + self.sprue.plan_area,
            gate_width=plan.gate.width,
            gate_depth=plan.gate.depth,
            gate_length=plan.channels.gate_length,
            thickest=self.cavity.thickness.thickest,
            thickest_area=plan.feed.area,
            block_length=length,
            block_width=width,
            block_height=height,
        )


def injected(subject: Subject, solid: Solid, asked: Mapping[str, Any]) -> Mould:
    """The mould of a bait's solid. Raises GeometryFailed."""
    material = MOULD_MATERIALS[asked["material"]]
    wall = float(asked.get("wall", material.wall.typical))
    cavity = cavity_of(subject, solid, asked)
    volume = solid.volume * cavity.frame.growth**3
    plan = planned(cavity, volume, asked, material, wall)
    cavities = apart([(placed.points(cavity.vertices), cavity.triangles) for placed in plan.placed])
    runners = cutter(plan.channels.meshes())
    sprue = cutter([plan.sprue.plastic()])
    poured = cutter([], runners, sprue)
    vents = [vent for each in plan.vents for _, vent in each if vent is not None]
    depth, bottom = material.vent.typical, plan.block.low[2]
    plates = [plate(text, at) for text, at in plan.plates]
    bars = [bar for _, bars in plates for bar in bars]
    cuts = plan.block.lower_cuts(), [*plan.block.upper_cuts(), plan.sprue.seat()]
    cuts[0].extend(mesh for vent in vents for mesh in vent.meshes(depth, bottom))
    cuts[0].extend(sunk for sunk, _ in plates)
    others = cutter(cuts[0]), cutter(cuts[1])
    stock = plan.block.lower_stock(), plan.block.upper_stock()
    bodies = cutter(stock[0]), cutter(stock[1])
    lost = sum(
        other.common(body).less(poured).less(cavities).volume for other, body in zip(others, bodies, strict=True)
    )
    return Mould(
        asked,
        material,
        wall,
        cavity,
        volume,
        plan,
        lower=carved(stock[0], [cutter([], others[0], poured), cavities], bars),
        upper=carved(stock[1], [cutter([], others[1], poured), cavities]),
        cavities=cavities,
        channels=runners.less(sprue).less(cavities),
        sprue=sprue.less(cavities),
        other_cuts=lost - (cutter(bars).common(others[0]).volume if bars else 0.0),
        stock=sum(body.volume for body in bodies),
    )


def planned(cavity: Cavity, volume: float, asked: Mapping[str, Any], material: MouldMaterial, wall: float) -> Plan:
    """Where all of a mould lies; `volume`, mm3, of one cavity."""
    thickness, count = cavity.thickness, int(asked["cavities"])
    thickest = thickness.thickest
    feed = feed_of(thickness, asked["gate_at"], RUNNER_SHARE * thickest / 2)
    gate = gate_of(feed, float(asked["gate_share"]))
    radius = max(RUNNER_SHARE * thickest / 2, 0.6 * gate.depth)
    below, above = cavity.heights
    sprue = sprue_of((0.0, 0.0), thickest, count * volume, above + wall, float(asked["nozzle"]))
    placed = rows_of(thickness, feed, count, max(sprue.bottom, radius) + max(BESIDE_SPRUE, wall / 2))
    channels = channels_of(placed, gate, radius)
    sprue = sprue.moved(channels.sprue_at)
    taken = np.concatenate([each.points(cavity.vertices)[:, :2] for each in placed])
    reach = np.array(
        [
            [sprue.at[0] - sprue.bottom, sprue.at[1] - sprue.bottom],
            [sprue.at[0] + sprue.bottom, sprue.at[1] + sprue.bottom],
        ]
    )
    inner = np.stack([np.minimum(taken.min(axis=0), reach[0]) - wall, np.maximum(taken.max(axis=0), reach[1]) + wall])
    deep = max(below + wall, sprue.bottom / 2 + FLOOR, radius + FLOOR)
    block = block_around(
        inner, (float(np.ceil(deep)), sprue.high), cast=material.cast, bolts=asked["fastening"] == "bolts"
    )
    board = block.board
    for each in placed:
        board.take_points(_plan_points(cavity, each))
    board.take_disc(sprue.at, max(sprue.bottom, sprue.nozzle / 2))
    for begin, end in channels.runners:
        board.take_way(begin, end, radius)
    for begin, end in channels.gates:
        board.take_way(begin, end, gate.width / 2)
    vents = [_vented(cavity, each, gate, board, thickness.thickest) for each in placed]
    return Plan(placed, feed, gate, channels, sprue, block, vents, _numbered(cavity, placed, asked, board))


def _plan_points(cavity: Cavity, placed: Placed) -> Any:
    columns = cavity.columns
    rows, lines = np.nonzero(columns.plan)
    return placed.points(np.column_stack([columns.x0 + columns.cell * rows, columns.y0 + columns.cell * lines]))


def _vented(cavity: Cavity, placed: Placed, gate: Gate, board: Board, thickest: float) -> list[tuple[Tip, Vent | None]]:
    """A vent for each tip that the plastic reaches last: those at the gate itself fill first."""
    found: list[tuple[Tip, Vent | None]] = []
    for tip in cavity.tips:
        place = placed.points(np.array([tip.place]))[0]
        away = (place[0] - placed.gate[0]) ** 2 + (place[1] - placed.gate[1]) ** 2
        if away < max(gate.width, thickest) ** 2:
            continue
        vent = vent_at(tip, placed, board) if tip.in_plane else None
        found.append((tip, vent))
    for _, vent in found:
        if vent is not None:
            board.take_way(vent.begin, vent.end, ESCAPE_WIDTH / 2)
    return found


def _numbered(cavity: Cavity, placed: list[Placed], asked: Mapping[str, Any], board: Board) -> list[tuple[str, Place]]:
    """The plates that there is room for: each cavity's number beside it, the revision in a corner."""
    texts = [(str(number + 1), each.gate) for number, each in enumerate(placed)]
    texts.append((f"R{asked['revision']}", (board.low[0], board.high[1])))
    plates = []
    for text, near in texts:
        width, height = size(text)
        at = board.nearest_room(near, float(np.hypot(width, height)) / 2, 1.0)
        if at is not None:
            plates.append((text, at))
            board.take_disc(at, float(np.hypot(width, height)) / 2)
    return plates
