"""Which face the halves of a bait's mould meet in: the parting plane itself, or one that follows the bait from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np

from worker.mould.cavity import Cavity, given, with_least_undercut
from worker.mould.core import Pin
from worker.mould.following import Strip, following
from worker.mould.layout import Gate, Placed
from worker.mould.plan import fed, sprue_for
from worker.mould.silhouette import silhouette_at
from worker.mould.thickness import Feed
from worker.mould.undercut import stays
from worker.values.mould import STEEPEST
from worker.values.mould_materials import MOULD_MATERIALS, MouldMaterial

LAND = 1.0
"""Flat face beside a gate, its runner and a pin's shank, mm (judgement)."""
FAR = 1e4
BETTER = 0.5
"""Share of what a plane has held, or behind plastic, that a face taken in its place leaves at most (judgement)."""

Pins = Callable[[Cavity], Sequence[Pin]]


def faced(cavity: Cavity, asked: Mapping[str, Any], material: MouldMaterial, pins: Pins) -> Cavity:
    """The cavity with the face that is asked for; `auto`: flat where that draws, else the one that draws better.

    `cavity` lies on the plane itself, which is the best for such a form where none is asked for; `pins`: those that
    would stand in one.
    """
    form = asked["parting"]["form"]
    if form == "flat":
        return cavity
    if form == "following":
        return _along(cavity, asked, pins)
    if not stays(cavity.columns, cavity.gap, material.undercut.typical) and draws(cavity, material):
        return cavity
    along = followed(cavity, asked, pins)
    return along if draws(along, material) or better(along, cavity) else cavity


def followed(cavity: Cavity, asked: Mapping[str, Any], pins: Pins) -> Cavity:
    """The cavity with a face that follows the bait, from the plane that is asked for or from the best for that."""
    on_plane = cavity if given(asked) is not None else with_least_undercut(cavity, following=True)
    return _along(cavity if on_plane.frame == cavity.frame else on_plane, asked, pins)


def _along(cavity: Cavity, asked: Mapping[str, Any], pins: Pins) -> Cavity:
    held = pins(cavity)
    level = cavity if held else _level_with_the_gate(cavity, asked)
    return level.on(following(level.columns, float(asked["parting"]["steepest_deg"]), _strips(level, asked, held)))


def _level_with_the_gate(cavity: Cavity, asked: Mapping[str, Any]) -> Cavity:
    """The cavity moved so that its silhouette at the gate lies in the plane: the face is flat there, and beside a rim
    that lies higher or lower it would lie behind plastic itself. Pins, which lie in the plane, leave it where it is.
    """
    feed, gate, _ = _fed(cavity, asked, ())
    up = silhouette_at(cavity.columns, feed, gate.width)
    # A round section is no more than the gap narrower at that height than at its silhouette: nothing lies behind.
    if up * up <= cavity.gap * feed.thickness:
        return cavity
    return cavity.lowered(round(up / cavity.frame.growth, 2))


def on_the_best_plane(cavity: Cavity, asked: Mapping[str, Any], material: MouldMaterial, pins: Pins) -> Cavity:
    """The cavity as it is where no plane is asked for."""
    parting = {name: value for name, value in asked["parting"].items() if name not in ("turn_deg", "height")}
    searched = with_least_undercut(cavity, following=parting["form"] == "following")
    return faced(searched, {**asked, "parting": parting}, material, pins)


def coming_out(
    cavity: Cavity, asked: Mapping[str, Any], material: MouldMaterial, pins: Sequence[Pin]
) -> tuple[dict[str, Any], Cavity] | None:
    """The first change of the face, as a change of `parting`, after which the bait comes out, and the cavity then.

    One that follows the bait, where a flat one is asked for, else as steep as may be; None where neither helps.
    """
    flat, most = asked["parting"]["form"] == "flat", STEEPEST.maximum or 0
    if cavity.face is None and not flat:
        return None
    made, change = (followed(cavity, asked, lambda each: pins), {"form": "following"}) if flat else (cavity, {})
    if flat and draws(made, material):
        return change, made
    if float(asked["parting"]["steepest_deg"]) >= most:
        return None
    made = made.on(following(made.columns, float(most), _strips(made, asked, pins)))
    return ({**change, "steepest_deg": most}, made) if draws(made, material) else None


def draws(cavity: Cavity, material: MouldMaterial) -> bool:
    """Whether the bait comes out of both halves."""
    return all(not half.trapped and float(half.share.max()) <= material.undercut.typical for half in cavity.undercuts)


def better(one: Cavity, other: Cavity) -> bool:
    """Whether clearly less of one's halves is held by plastic than of the other's, or lies behind it where none is."""
    (area, held), (other_area, other_held) = (
        (sum(half.area for half in each.undercuts), sum(half.trapped for half in each.undercuts))
        for each in (one, other)
    )
    if other_held:
        return held <= BETTER * other_held
    return not held and area <= BETTER * other_area


def _strips(cavity: Cavity, asked: Mapping[str, Any], pins: Sequence[Pin]) -> list[Strip]:
    """Where the face stays flat: before the gate, with the runner that comes there, and along pins' shanks."""
    feed, gate, radius = _fed(cavity, asked, pins)
    half = max(gate.width / 2, radius) + LAND
    turned_back = Placed(-feed.quarter % 4, 0.0, 0.0, (0, 0), (0, 0))
    ways = [turned_back.points(np.array([[feed.x - half, feed.edge], [feed.x + half, FAR]]))]
    for pin in pins:
        (x, y), beside = pin.mouth, pin.radius + LAND
        ways.append(np.array([[x, y - beside], [FAR if pin.support[0] > x else -FAR, y + beside]]))
    return [Strip(tuple(way.min(axis=0).tolist()), tuple(way.max(axis=0).tolist())) for way in ways]


def _fed(cavity: Cavity, asked: Mapping[str, Any], pins: Sequence[Pin]) -> tuple[Feed, Gate, float]:
    """What the gate feeds, the gate, and the radius of its runner."""
    wall = float(asked.get("wall", MOULD_MATERIALS[asked["material"]].wall.typical))
    sprue = sprue_for(cavity, cavity.net_volume, asked, wall)
    return fed(cavity.thickness, asked, pins, 2 * sprue.top)
