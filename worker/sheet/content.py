"""What a sheet says, as rows of words: from a request in normal form and the answer's numbers alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from worker.sheet.parts import BLANK, Row
from worker.sheet.words import INCH, degrees, figure, length, mass, pressure, seconds
from worker.shot.masses import remelt_share
from worker.values.own_plastics import name_of

Metrics = Mapping[str, Any]
Normal = Mapping[str, Any]
BAG_BEYOND_MM = 25.0
NEWTON_TO_KGF = 1 / 9.80665


def heads(normal: Normal) -> list[Row]:
    """Who and when."""
    sheet = normal["sheet"]
    who = [("Customer", sheet["customer"])] if "customer" in sheet else []
    return [*who, ("Batch number", sheet.get("batch", BLANK)), ("Poured on", BLANK), ("By", BLANK)]


def facts(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """The bait and what it is poured of."""
    plastic, shot = normal["plastic"], metrics["shot"]
    yield "Bait", normal["style"].replace("_", " ") if "style" in normal else "open form"
    yield "Length", length(metrics["length_mm"])
    if abs(metrics["laid_straight_mm"] - metrics["length_mm"]) > 0.5:
        yield "Laid straight", length(metrics["laid_straight_mm"])
    yield "Volume", f"{figure(metrics['volume_mm3'] / 1000)} cm3"
    yield (
        "Mass",
        f"{mass(metrics['mass_g'])}, {figure(metrics['mass_low_g'])} to {figure(metrics['mass_high_g'])} g likely",
    )
    grade = "" if name_of(plastic) == plastic["grade"] else f", {plastic['grade']} grade"
    yield "Plastic", f"{name_of(plastic)}{grade}"
    yield "Salt", _salt(plastic, shot)
    added = [
        f"{figure(plastic[f'{name}_pct'], 6)} % {name}" for name in ("softener", "hardener") if plastic[f"{name}_pct"]
    ]
    if added:
        yield "Added", ", ".join(added)
    if "rig" in normal:
        weights = ", ".join(f"{figure(each['mass_g'], 6)} g {each['material']}" for each in normal["rig"]["weights"])
        yield "Rig", normal["rig"]["kind"].replace("_", " ") + (f", {weights}" if weights else "")
    fresh = metrics["fresh_water"]
    yield (
        "In fresh water",
        _in_water(fresh if fresh["rigged"] is None else fresh["rigged"], rigged=bool(fresh["rigged"])),
    )
    yield "Shrinkage", f"{figure(shot['shrinkage_pct'])} % of length; cavity {shot['cavity_scale']:.4f} of the bait"


def _in_water(water: Metrics, *, rigged: bool) -> str:
    """A rate is good to a quarter, so two digits of it."""
    bait = "with its rig it" if rigged else "it"
    if water["net_mass_low_g"] < 0 < water["net_mass_high_g"] and water["behaviour"] == "suspends":
        return f"{bait} may float or sink: weigh a piece of this plastic"
    if water["behaviour"] == "suspends":
        return f"{bait} suspends"
    rate = abs(water["sink_rate_mm_s"])
    does = "sinks" if water["behaviour"] == "sinks" else "floats, and rises"
    return f"{bait} {does} at about {figure(rate, 2)} mm/s ({figure(rate / INCH, 2)} in/s)"


def _salt(plastic: Normal, shot: Metrics) -> str:
    if not plastic["salt_wt_pct"]:
        return "none"
    by_weight, to_a_litre = figure(plastic["salt_wt_pct"], 6), figure(shot["salt_per_litre_g"])
    return f"{by_weight} % by weight: {to_a_litre} g to a litre of plastic; dry it first"


def colours(normal: Normal, metrics: Metrics) -> Iterator[tuple[str, str, str, str]]:
    """Where each lies, what it is, and how much."""
    yield "Where", "Colour", "A bait", "This run"
    for each in metrics["shot"]["colours"]:
        same = each["name"] in ("colour", each["place"])
        name = each["colour"] if same else f"{each['name']} ({each['colour']})"
        share = "" if each["share_pct"] == 100 else f" ({figure(each['share_pct'])} %)"
        yield each["place"], name, f"{figure(each['bait_g'])} g{share}", f"{figure(each['run_fresh_g'], 4)} g"
    glitter = normal["finish"].get("glitter")
    if glitter:
        flakes = f"{figure(glitter['size_mm'], 6)} mm, {figure(glitter['per_cm3'], 6)} to a cm3"
        yield "glitter", f"{glitter['colour']}, {flakes}", "as the picture", "to taste"


def recipe(normal: Normal) -> Iterator[tuple[str, str]]:
    """The customer's rows, and empty ones to write on."""
    given = normal["sheet"]["recipe"]
    yield "Colour recipe", "Amount"
    for each in given:
        yield each["what"], each["amount"]
    for _ in range(max(3 - len(given), 1)):
        yield "", ""


def shot_rows(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """Masses, injector and bottles: what to heat."""
    asked, shot = normal["shot"], metrics["shot"]
    run = shot["run"]
    yield "Bait, moulded", mass(shot["bait_g"])
    yield "One shot", f"{figure(shot['shot_g'])} g, {figure(shot['shot_ml'])} mL hot, {_cavities(shot)}"
    gated = shot["fill"] is not None
    if gated:
        yield (
            "In channels",
            f"{figure(shot['channels_g'])} g, {figure(100 * remelt_share(asked), 6)} % back into the pot",
        )
    yield "Waste", f"{figure(shot['waste_g'])} g a shot ({figure(asked['waste_pct'], 6)} % of what is heated)"
    if gated:
        yield "From the sprue", f"{figure(shot['fed_from_sprue_g'], 2)} g while it shrinks"
        yield "Injector", _injector(asked, shot)
    yield (
        "Baits",
        f"{figure(shot['baits_per_litre'])} to a litre, {shot['baits_per_bottle']} to a bottle of "
        f"{figure(asked['bottle_ml'], 6)} mL",
    )
    salt = f" and {figure(run['salt_g'], 4)} g salt" if run["salt_g"] else ""
    bottles = "bottle" if run["bottles"] == 1 else "bottles"
    yield f"For {run['baits']} baits", f"{figure(run['plastic_ml'], 4)} mL plastic ({run['bottles']} {bottles}){salt}"
    if shot["cost"] is not None:
        cost = shot["cost"]
        parts = ", ".join(f"{name} {cost[name]:.3f}" for name in ("plastic", "salt", "extras", "work") if cost[name])
        yield "Cost of a bait", f"{cost['per_bait']:.2f} {cost['currency']}".strip() + (f" ({parts})" if parts else "")


def _cavities(shot: Metrics) -> str:
    return "1 cavity" if shot["cavities"] == 1 else f"{shot['cavities']} cavities"


def _injector(asked: Normal, shot: Metrics) -> str:
    if shot["shots_per_filling"] >= 1:
        times = "1 shot" if shot["shots_per_filling"] == 1 else f"{shot['shots_per_filling']} shots"
        return f"{times} to a filling of {figure(asked['injector_ml'], 6)} mL"
    return f"too small: a shot takes {shot['injector_fillings']} fillings of {figure(asked['injector_ml'], 6)} mL"


def cycle_rows(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """Pressure, times, and how many an hour."""
    asked, shot = normal["shot"], metrics["shot"]
    cooling, fill = shot["cooling"], shot["fill"]
    if fill is None:
        yield "Filling", "dipped" if _dipped(metrics) else "poured open"
    else:
        clamp = shot["clamp_n"]
        yield (
            "Clamp",
            f"{figure(clamp)} N ({figure(clamp * NEWTON_TO_KGF)} kgf) at "
            f"{figure(1000 * asked['pressure_mpa'], 4)} kPa on {figure(shot['projected_mm2'], 4)} mm2",
        )
        thin, thick = fill["thin"], fill["thick"]
        pressures = f"{pressure(thin['pressure_mpa'], thick['pressure_mpa'])} through the gate"
        yield "Filling", f"{seconds(thin['seconds'], thick['seconds'])}, {pressures}"
    body = "plate" if cooling["form"] == "plate" else "rod"
    yield (
        "Cooling",
        (
            f"{cooling['typical_s']:.0f} s, {seconds(cooling['low_s'], cooling['high_s'])}: to "
            f"{degrees(asked['release_temperature_c'])} in the middle of a {body} of "
            f"{figure(cooling['thickness_mm'])} mm, wall at {cooling['wall_c']:.0f} °C"
            f"{'' if 'wall_temperature_c' in asked else ' at first'}"
        ),
    )
    moulds = asked["moulds_in_turn"]
    turn = "" if moulds == 1 else f"; with {moulds} moulds in turn a shot every {shot['shot_every_s']:.0f} s"
    yield (
        "Cycle",
        f"{shot['cycle_s']:.0f} s with {figure(asked['handling_s'], 6)} s handling{turn}: "
        f"{figure(shot['baits_per_hour'])} baits an hour",
    )


def _dipped(metrics: Metrics) -> bool:
    """Whether there is a form in place of a cavity."""
    return bool(metrics.get("mould", {}).get("kind") == "dipped")


def after_rows(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """From the mould to the bag."""
    sheet = normal["sheet"]
    bag = sheet.get("bag_length", metrics["length_mm"] + BAG_BEYOND_MM)
    yield "Then", "lay flat and straight until cold" if sheet["cool_as"] == "flat" else "hang by the nose until cold"
    yield "Rest", f"{figure(sheet['rest_hours'], 6)} h before packing"
    yield (
        "Pack",
        f"{sheet['per_pack']} in a bag, {length(bag)} inside; {normal['shot']['baits'] // sheet['per_pack']} packs",
    )
    yield "Counted", BLANK


def mould_rows(metrics: Metrics) -> Iterator[Row]:
    """The mould as it was built, else what the shot assumes of it."""
    shot, mould = metrics["shot"], metrics.get("mould")
    if mould is not None:
        sides = " x ".join(f"{figure(mould[f'block_{side}_mm'], 4)}" for side in ("length", "width", "height"))
        part = "form" if _dipped(metrics) else "block"
        yield "Kind", f"{mould['kind'].replace('_', ' ')}, {mould['material']}, {part} {sides} mm"
        if mould["parting"]["form"] == "following":
            yield "Parting face", f"follows the bait, up to {mould['parting']['steepest_deg']:.0f} degrees steep"
    yield (
        "Hot bait" if _dipped(metrics) else "Cavity",
        f"{shot['cavities']} of {figure(shot['cavity_mm3'] / 1000)} cm3, {shot['cavity_scale']:.4f} times the bait",
    )
    if shot["channels_mm3"]:
        yield "Channels", f"{figure(shot['channels_mm3'] / 1000)} cm3 with the sprue"
    if mould is not None and mould["gate_depth_mm"]:
        yield (
            "Gate",
            f"{figure(mould['gate_width_mm'])} x {figure(mould['gate_depth_mm'])} mm, "
            f"{figure(mould['gate_length_mm'])} long",
        )
        yield "Sprue", f"{figure(mould['sprue_diameter_mm'])} mm at the top, {figure(mould['sprue_length_mm'])} long"
    for sentence in shot["assumed"]:
        yield "Assumed", sentence
