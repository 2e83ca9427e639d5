"""How long a shot takes: filling through the gate, cooling until it can be taken out, handling."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from worker.measures.strand.thickest import Thickest
from worker.shot.cooling import Body, middle_left, seconds_to, through_wall
from worker.shot.flow import round_drop, slot_drop
from worker.shot.mould_of import Channels
from worker.values.mould_figures import MouldFigures
from worker.values.mould_materials import MOULD_MATERIALS, PLASTIC_CONDUCTIVITY, wall_temperature

DIFFUSIVITY = (0.034, 0.055, 0.09)
"""mm2/s, low, typical and high. High: generic plasticised PVC (makeitfrom.com: 0.17 W/m.K, 1.4 kJ/kg.K); low: 0.091
W/m.K and 2.65 kJ/kg.K measured of a soft gel (Physics Procedia 2015); typical: between them, judgement."""
CONDUCTIVITY = (0.091, 0.125, PLASTIC_CONDUCTIVITY)
"""W/(m K), of the same plastics in the same order: the ends are measured together with their diffusivities, so each has
the heat capacity of its own plastic; typical: between them, judgement."""
PLATE_FROM = 2.5
"""Width over height from which a section cools as a plate."""
INSULATES_UNDER = 1.0
"""W/(m K): plaster, resin and rubber lie under it, metals two decades above."""


@dataclass(frozen=True, slots=True)
class Cooling:
    """Seconds until the middle has the release temperature: at the high, typical and low diffusivity."""

    body: Body
    wall: float
    fast: float
    usual: float
    slow: float
    assumed: tuple[str, ...] = ()


def cooling_of(shot: Mapping[str, Any], mould: MouldFigures, thickest: Thickest, scale: float) -> Cooling:
    """Of the thickest place, `scale` times the cold bait's, in a mould of this material.

    Heat passes the mould's wall to the mould's warmth, unless the wall's own temperature is told: that is then held.
    """
    body = body_of(thickest, scale)
    material = MOULD_MATERIALS[mould.material]
    pour, release, start = (shot[f"{name}_temperature_c"] for name in ("pour", "release", "mould"))
    wall = shot.get("wall_temperature_c", wall_temperature(material, start, pour))
    assumed: tuple[str, ...] = ()
    lefts: Sequence[Callable[[float], float]]
    if "wall_temperature_c" in shot:
        lefts, held = [partial(middle_left, body.form)] * len(DIFFUSIVITY), wall
    else:
        # A mould that insulates warms through, and its wall is what slows it down; metal's is hardly in the way.
        thick, held = material.wall.typical, start
        passed = material.conductivity.typical / way_out(body, thick)
        lefts = [through_wall(body.form, passed * body.across / 2 / own) for own in CONDUCTIVITY]
        if material.conductivity.typical < INSULATES_UNDER:
            assumed = (
                f"{mould.material.capitalize()} insulates: its wall comes to {wall:.0f} °C as the plastic meets it, "
                f"and the heat is taken to pass {thick:g} mm of it to {start:g} °C outside, cooled between shots.",
            )
    share = (release - held) / (pour - held)
    slow, usual, fast = (
        seconds_to(left, share, body.across / 2, each) for left, each in zip(lefts, DIFFUSIVITY, strict=True)
    )
    return Cooling(body, wall, fast, usual, slow, assumed)


def way_out(body: Body, thick: float) -> float:
    """Thickness, mm, of a flat wall that resists as much as `thick` mm of mould do, on each mm2 of the body's surface.

    Round a rod of radius r the wall widens outwards: ln((r + t) / r) / (2 pi k L) of a shell (Incropera and DeWitt,
    Fundamentals of Heat and Mass Transfer, section 3.3) over its inner surface is r ln(1 + t / r) / k.
    """
    half = body.across / 2
    return half * math.log1p(thick / half) if body.form == "cylinder" else thick


def body_of(thickest: Thickest, scale: float) -> Body:
    """A plate where the place is much wider than high, else a round rod."""
    if thickest.most > PLATE_FROM * thickest.least:
        return Body("plate", thickest.least * scale)
    return Body("cylinder", thickest.as_round * scale)


@dataclass(frozen=True, slots=True)
class Filling:
    """How one viscosity fills the mould: seconds, and the pressure, MPa, that sprue, runner and gate take meanwhile."""

    seconds: float
    drop: float


def fillings_of(shot: Mapping[str, Any], channels: Channels) -> tuple[Filling, Filling] | None:
    """At the least and the greatest viscosity, all cavities at once; None without a gate.

    No faster than the injector's flow, and no faster than its pressure drives the plastic through the channels.
    """
    if not channels.gated:
        return None
    thin, thick = (_filling(shot, channels.mould, shot[f"viscosity_{end}_pa_s"]) for end in ("low", "high"))
    return thin, thick


def _filling(shot: Mapping[str, Any], mould: MouldFigures, viscosity: float) -> Filling:
    whole = mould.cavities * mould.cavity_volume
    # Laminar flow: the drop goes with the flow, so that of 1 mm3/s is the channels' resistance.
    drop = slot_drop(viscosity, mould.gate_width, mould.gate_depth, mould.gate_length, 1 / mould.cavities)
    for length, diameter in (
        (mould.sprue_length, mould.sprue_diameter),
        (mould.runner_length, mould.runner_diameter),
    ):
        if length > 0 and diameter > 0:
            drop += round_drop(viscosity, length, diameter, 1.0)
    flow = min(1000 * shot["flow_ml_s"], shot["pressure_mpa"] / drop)
    return Filling(whole / flow, drop * flow)


def between_shots(busy: float, cooling: float, moulds: int) -> float:
    """Seconds from one shot to the next with so many moulds in turn: `busy` with each, while the others cool.

    Whoever pours is either busy without a pause, or waits for the first mould to come round: its cycle over all moulds.
    """
    return max(busy, (busy + cooling) / moulds)


def per_hour(cavities: int, seconds: float) -> float:
    """Baits an hour, of a shot each so many seconds."""
    return cavities * 3600 / seconds
