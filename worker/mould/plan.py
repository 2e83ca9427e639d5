"""Where everything of a mould lies, before anything is cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from worker.mould.block import Block, Line, block_around
from worker.mould.board import Board, Place
from worker.mould.cavity import Cavity
from worker.mould.core import ENDS, FREE_AT_BOTH_ENDS, Pin
from worker.mould.layout import BETWEEN_FACES, RUNNER_SHARE, Channels, Gate, Placed, channels_of, gate_of, rows_of
from worker.mould.marks import size
from worker.mould.needles import Needle, needle_at
from worker.mould.sprue import Sprue, sprue_of
from worker.mould.thickness import SIDES, Feed, Thickness, feed_of
from worker.mould.vents import ESCAPE_WIDTH, NEAR, Tip, Vent, vent_at
from worker.solid.shapes import Mesh
from worker.strands.roots import Array
from worker.values.mould_materials import MouldMaterial

BESIDE_SPRUE = 4.0
"""Least mould between the sprue or the nozzle's seat and a cavity, mm (judgement); half a wall where that is more."""
FLOOR = 4.0
"""Least mould under the sprue and the runners, mm."""


def beside_sprue(wall: float) -> float:
    """Least mould between the sprue and a cavity, mm, where walls are `wall` thick."""
    return max(BESIDE_SPRUE, wall / 2)


@dataclass(frozen=True)
class Gating:
    """What the plastic comes through."""

    feed: Feed
    gate: Gate
    channels: Channels
    sprue: Sprue


@dataclass(frozen=True)
class Plan:
    """`vents` has for each cavity its tips, each with its vent, a needle's hole or None; `gating` is None where it is
    poured openly.
    """

    placed: list[Placed]
    gating: Gating | None
    block: Block
    vents: list[list[tuple[Tip, Vent | Needle | None]]]
    plates: list[tuple[str, Place]]

    def needles(self, half: str) -> list[Mesh]:
        """The needle's holes through one half."""
        found = [vent for each in self.vents for _, vent in each if isinstance(vent, Needle) and vent.half == half]
        return [needle.mesh(self.block.low[2], self.block.high[2]) for needle in found]


def planned(
    cavity: Cavity,
    volume: float,
    asked: Mapping[str, Any],
    material: MouldMaterial,
    wall: float,
    pins: Sequence[Pin] = (),
) -> Plan:
    """A mould that is shot; `volume`, mm3, of one cavity. Pins stand out of it at their cavity's ends."""
    thickness, count = cavity.thickness, int(asked["cavities"])
    thickest = thickness.thickest
    sprue = sprue_for(cavity, volume, asked, wall)
    feed, gate, radius = fed(thickness, asked, pins, 2 * sprue.top)
    room = None if cavity.face is None else cavity.face.box
    below = cavity.heights[0]
    placed = rows_of(cavity.vertices[:, :2], feed, count, max(sprue.reach, radius) + beside_sprue(wall), wall, room)
    channels = channels_of(placed, gate, radius)
    sprue = sprue.moved(channels.sprue_at)
    taken = np.concatenate([each.points(cavity.vertices)[:, :2] for each in placed])
    around = np.array(sprue.at) + sprue.reach * np.array([[-1.0, -1.0], [1.0, 1.0]])
    held = _held(placed, pins) or [around[0]]
    low = np.minimum(np.minimum(taken.min(axis=0), around[0]) - wall, np.min(held, axis=0))
    high = np.maximum(np.maximum(taken.max(axis=0), around[1]) + wall, np.max(held, axis=0))
    if room is not None:
        rooms = np.concatenate([each.points(room) for each in placed])
        low = np.minimum(low, rooms.min(axis=0) - BETWEEN_FACES)
        high = np.maximum(high, rooms.max(axis=0) + BETWEEN_FACES)
    deep = max(below + wall, sprue.bottom / 2 + FLOOR, radius + FLOOR)
    block = block_around(
        np.stack([low, high]),
        (float(np.ceil(deep)), sprue.high),
        cast=material.cast,
        bolts=asked["fastening"] == "bolts",
        lines=_lines(placed, pins),
    )
    board = block.board
    for each in placed:
        board.take_points(plan_points(cavity, each))
        for pin in pins:
            begin, end = (tuple(place.tolist()) for place in each.points(np.array([pin.mouth, pin.support])))
            board.take_way(begin, end, pin.radius + 1.0)
    board.take_disc(sprue.at, sprue.reach)
    for begin, end in channels.runners:
        board.take_way(begin, end, radius)
    for begin, end in channels.gates:
        board.take_way(begin, end, gate.width / 2)
    vents = [_vented(cavity, each, gate, board, thickest, pins) for each in placed]
    if cavity.face is not None:
        for each in placed:
            nodes = cavity.face.points(each)
            board.take_points(nodes[nodes[..., 2] != 0][:, :2])
    plates = numbered([each.gate for each in placed], asked, board)
    return Plan(placed, Gating(feed, gate, channels, sprue), block, vents, plates)


def sprue_for(cavity: Cavity, volume: float, asked: Mapping[str, Any], wall: float) -> Sprue:
    """The sprue of all cavities, of `volume` mm3 each."""
    above, count = cavity.heights[1] + wall, int(asked["cavities"])
    return sprue_of((0.0, 0.0), cavity.thickness.thickest, count * volume, above, float(asked["nozzle"]))


def fed(thickness: Thickness, asked: Mapping[str, Any], pins: Sequence[Pin], sprue: float) -> tuple[Feed, Gate, float]:
    """What the gate feeds, the gate, and the radius of the runner that leads to it, mm; `sprue`: its thickness."""
    feed = _feed(thickness, asked, pins)
    gate = gate_of(feed, float(asked["gate_share"]), sprue)
    return feed, gate, max(RUNNER_SHARE * thickness.thickest / 2, 0.6 * gate.depth)


def _feed(thickness: Thickness, asked: Mapping[str, Any], pins: Sequence[Pin]) -> Feed:
    """What the gate feeds: never an end that a pin comes out at, for the runner and the next cavity lie there; of more
    cavities than lie free at both ends at the end without pins, so that all can be drawn.
    """
    ends, gate_at = {pin.end for pin in pins}, str(asked["gate_at"])
    if len(ends) == 1 and (int(asked["cavities"]) > FREE_AT_BOTH_ENDS or gate_at in ends):
        gate_at = next(end for end in ENDS if end not in ends)
    elif gate_at in ends:
        gate_at = "thickest"
    free = [side for side in SIDES if side not in ends]
    return feed_of(thickness, gate_at, RUNNER_SHARE * thickness.thickest / 2, float(asked["gate_share"]), free)


def _held(placed: list[Placed], pins: Sequence[Pin]) -> list[Array]:
    """Places that the block reaches at least, so that it holds each pin by its shank."""
    return [each.points(np.array([pin.support]))[0] for each in placed for pin in pins]


def _lines(placed: list[Placed], pins: Sequence[Pin]) -> list[Line]:
    """The pins' shanks."""
    lines = []
    for each in placed:
        for pin in pins:
            mouth, support = each.points(np.array([pin.mouth, pin.support]))
            axis = int(np.argmax(np.abs(support - mouth)))
            lines.append(Line(axis, float(mouth[1 - axis]), pin.radius))
    return lines


def plan_points(cavity: Cavity, placed: Placed) -> Array:
    """Middles of the squares of a cavity's plan, (n, 2), in the mould."""
    columns = cavity.columns
    rows, lines = np.nonzero(columns.plan)
    return placed.points(np.column_stack([columns.x0 + columns.cell * rows, columns.y0 + columns.cell * lines]))


def _vented(
    cavity: Cavity, placed: Placed, gate: Gate, board: Board, thickest: float, pins: Sequence[Pin]
) -> list[tuple[Tip, Vent | Needle | None]]:
    """A vent for each tip that the plastic reaches last: those at the gate itself fill first.

    At a pin the air goes out along its seat; a tip that no vent in the face reaches has a needle's hole.
    """
    found: list[tuple[Tip, Vent | Needle | None]] = []
    for tip in cavity.tips:
        place = placed.points(np.array([tip.place]))[0]
        away = (place[0] - placed.gate[0]) ** 2 + (place[1] - placed.gate[1]) ** 2
        at_pin = any(math.dist(tip.place, pin.mouth) < pin.radius + NEAR for pin in pins)
        if at_pin or away < max(gate.width, thickest) ** 2:
            continue
        in_face = vent_at(tip, placed, board) if tip.in_plane else None
        found.append((tip, in_face or needle_at(tip, cavity.columns, cavity.face, placed)))
    for _, vent in found:
        if isinstance(vent, Vent):
            board.take_way(vent.begin, vent.end, ESCAPE_WIDTH / 2)
    return found


def numbered(near: list[Place], asked: Mapping[str, Any], board: Board) -> list[tuple[str, Place]]:
    """The plates that there is room for: each cavity's number `near` it, the revision in a corner."""
    texts = [(str(number + 1), place) for number, place in enumerate(near)]
    texts.append((f"R{asked['revision']}", (board.low[0], board.high[1])))
    plates = []
    for text, place in texts:
        half = float(np.hypot(*size(text))) / 2
        at = board.nearest_room(place, half, 1.0)
        if at is not None:
            plates.append((text, at))
            board.take_disc(at, half)
    return plates
