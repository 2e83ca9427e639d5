"""The part of `metrics` that tells what a bait does in water, on a hook and when it is bent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.measures.bending.of_bait import Bending, Bent, Give, bending_of
from worker.measures.hook.along import place_along
from worker.measures.water.density import water_density
from worker.measures.water.fall import Fall, Hung, fall_of
from worker.measures.water.spread import Spread, spread_of
from worker.values.blends import is_blended
from worker.values.own_plastics import name_of
from worker.values.parameter import six_digits
from worker.values.rigs import MATERIALS

WATERS = ("fresh_water", "salt_water")
UNSURE = "The plastic's density is not known well enough to say whether it floats or sinks: weigh a piece of yours."


def handling_figures(subject: Subject, volume: float) -> dict[str, Any]:
    """Water, hook and bending of a bait of `volume` mm3."""
    spread = spread_in(subject)
    bending = bending_in(subject, spread)
    return {
        **{name: _water(subject, spread, volume, name) for name in WATERS},
        **_hook(subject),
        **_bending(bending),
        "judgement": _judgement(subject),
    }


def bending_in(subject: Subject, spread: Spread) -> Bending | None:
    """How the bait bends and hangs; None in several pieces, or where nothing is left of it behind the hold."""
    if subject.pieces != 1:
        return None
    bent = Bent(subject.trunk_strands, subject.limbs, subject.hollows, spread, subject.hold)
    plastic = subject.plastic
    thin = {name: density_of(subject, name) / 1000 for name in WATERS}
    return bending_of(bent, plastic.modulus.typical, plastic.density.typical, thin)


def density_of(subject: Subject, water: str) -> float:
    """kg/m3 of the request's `fresh_water` or `salt_water`."""
    asked = subject.request.normal["water"]
    return water_density(asked["temperature_c"], asked["salinity"] if water == "salt_water" else 0.0)


def spread_in(subject: Subject) -> Spread:
    """How the plastic is shared out along the bait: by arithmetic alone, for an estimate and for a build.

    Limbs have what the trunk leaves of the whole, so the little by which a mesh differs from it would all fall to them.
    """
    taken, _ = subject.taken
    return spread_of(subject.trunk_strands, subject.limbs, subject.hollows, subject.whole.volume, taken)


def fall_in(subject: Subject, spread: Spread, volume: float, water: str, *, rigged: bool) -> Fall:
    """How a bait of `volume` mm3 falls in `fresh_water` or `salt_water`, bare or with what hangs on it."""
    hung = _hung(subject) if rigged else ()
    return fall_of(spread, volume, subject.plastic.density, density_of(subject, water), hung)


def _water(subject: Subject, spread: Spread, volume: float, name: str) -> dict[str, Any]:
    water = density_of(subject, name)
    bare = fall_in(subject, spread, volume, name, rigged=False)
    rigged = None if subject.rig is None else fall_in(subject, spread, volume, name, rigged=True)
    told = None if rigged is None else {"mass_g": six_digits(rigged.mass), **_fall(rigged)}
    return {"density_kg_m3": six_digits(water), **_fall(bare), "rigged": told}


def _hung(subject: Subject) -> list[Hung]:
    rig, trunk = subject.rig, subject.trunk_strands
    if rig is None:
        return []
    things = [(rig.hook.mass, MATERIALS["steel"], rig.hook_middle)]
    things += [(weight.mass, weight.density, weight.station) for weight in rig.weights]
    return [Hung(mass, density, float(place_along(trunk, station)[0][0])) for mass, density, station in things]


def _fall(fall: Fall) -> dict[str, Any]:
    told: dict[str, Any] = {
        "net_mass_g": six_digits(fall.net),
        "net_mass_low_g": six_digits(fall.net_low),
        "net_mass_high_g": six_digits(fall.net_high),
        "behaviour": fall.behaviour,
        "sink_rate_mm_s": six_digits(fall.speed),
        "sink_rate_low_mm_s": six_digits(fall.speed_low),
        "sink_rate_high_mm_s": six_digits(fall.speed_high),
        "attitude_deg": six_digits(fall.attitude),
    }
    return {**told, "note": UNSURE} if fall.unsure else told


def _hook(subject: Subject) -> dict[str, Any]:
    hook = subject.hook
    names = ("hook_hold_n", "hook_hold_low_n", "hook_hold_high_n", "hook_clearance_mm")
    if hook is None:
        return dict.fromkeys(names)
    figures = (hook.hold, hook.hold_low, hook.hold_high, hook.clearance)
    return {name: six_digits(figure) for name, figure in zip(names, figures, strict=True)}


def _bending(bending: Bending | None) -> dict[str, Any]:
    if bending is None:
        # A bait in pieces does not bend as one, nor does one of which nothing is left behind the hold.
        return {"hold_station_mm": None, "tip_give_mm_per_mn": None, "bending_length_mm": None} | {
            "droop_tip_deg": None,
            "flex_profile": [],
        }
    stretches = zip(
        *(np.asarray(part).tolist() for part in (bending.station, bending.up_down, bending.sideways)), strict=True
    )
    return {
        "hold_station_mm": six_digits(bending.hold),
        "tip_give_mm_per_mn": {
            **_give(bending.give),
            "tails": [{"strand": t.strand, **_give(t)} for t in bending.tails],
        },
        "bending_length_mm": six_digits(bending.bending_length),
        "droop_tip_deg": {name: six_digits(angle) for name, angle in bending.droop.items()},
        "flex_profile": [
            {
                "station_mm": six_digits(station),
                "up_down_n_mm2": six_digits(up_down),
                "side_n_mm2": six_digits(side),
            }
            for station, up_down, side in stretches
        ],
    }


def _give(give: Give) -> dict[str, float]:
    return {"side": six_digits(give.side), "up_down": six_digits(give.up_down)}


def _judgement(subject: Subject) -> list[str]:
    """What of these figures is judgement and not measured, in a maker's words."""
    plastic, asked = subject.plastic, subject.request.normal["plastic"]
    stiff = plastic.modulus
    least, most = (f"{stiff.typical / other:.2g}" for other in (stiff.high, stiff.low))
    told = [
        f"{_where_from(asked)} A joint may hold from its low to its high pull. Stiffness is taken as "
        f"{stiff.typical:.2g} MPa, {stiff.low:.2g} to {stiff.high:.2g} likely: the bait may give from "
        f"{least} to {most} times as much. That is at about {asked['temperature_c']:g} °C: plastic softens much as it "
        "warms.",
        f"Its density is taken as {plastic.density.typical:.4g} g/cm3, {plastic.density.low:.4g} to "
        f"{plastic.density.high:.4g} likely. Sink rates are good to a quarter besides.",
        "Attitude is that of a slender body in free fall on a slack line, by our own derivation.",
        "Tip give is the rate for small forces, by beam theory, which short thick beads only come near to.",
        "The pulls that joints are held to are judgement.",
    ]
    if is_blended(asked):
        told.append(
            "What softener, hardener and the temperature of use do is by rules of judgement, which widen every range: "
            "pour a piece of yours and measure it."
        )
    if subject.hollows:
        told.append("Slots, bores and pockets are taken to be full of water.")
    if subject.rig is not None:
        told.append(
            "What the hook holds is from memory: a wire's tear energy and bearing. How much gape has to stay free, how "
            "much of the trunk's pull is asked behind the hook, and where the hook's mass acts are judgement."
        )
    return told


def _where_from(asked: Mapping[str, Any]) -> str:
    """Which of the figures that joints and bending hang on were measured."""
    own = asked.get("properties", {})
    names = {"strength": "strength", "modulus": "stiffness", "tear_energy": "tear energy"}
    guessed = [words for name, words in names.items() if name not in own]
    given = [f"{words} ({own[name]['source']})" for name, words in names.items() if name in own]
    told = f"Of {name_of(asked)}, its owner gave: {', '.join(given)}. " if given else ""
    if not guessed:
        return told.strip()
    listed = guessed[0] if len(guessed) == 1 else f"{', '.join(guessed[:-1])} and {guessed[-1]}"
    are = "is" if len(guessed) == 1 else "are"
    return f"{told}{listed.capitalize()} of {asked['grade']} plastic {are} from memory and judgement, not measured."
