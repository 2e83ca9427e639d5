"""What a sheet says, as rows of words: from a request in normal form and the answer's numbers alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from worker.sheet.parts import BLANK, Row
from worker.sheet.words import degrees, length, mass, seconds
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
    yield "Volume", f"{metrics['volume_mm3'] / 1000:.3g} cm3"
    yield "Mass", f"{mass(metrics['mass_g'])}, {metrics['mass_low_g']:.3g} to {metrics['mass_high_g']:.3g} g likely"
    grade = "" if name_of(plastic) == plastic["grade"] else f", {plastic['grade']} grade"
    yield "Plastic", f"{name_of(plastic)}{grade}"
    yield "Salt", _salt(plastic, shot)
    added = [f"{plastic[f'{name}_pct']:g} % {name}" for name in ("softener", "hardener") if plastic[f"{name}_pct"]]
    if added:
        yield "Added", ", ".join(added)
    if "rig" in normal:
        weights = ", ".join(f"{each['mass_g']:g} g {each['material']}" for each in normal["rig"]["weights"])
        yield "Rig", normal["rig"]["kind"].replace("_", " ") + (f", {weights}" if weights else "")
    fresh = metrics["fresh_water"]
    yield (
        "In fresh water",
        _in_water(fresh if fresh["rigged"] is None else fresh["rigged"], rigged=bool(fresh["rigged"])),
    )
    yield "Shrinkage", f"{shot['shrinkage_pct']:.3g} % of length; cavity {shot['cavity_scale']:.4f} of the bait"


def _in_water(water: Metrics, *, rigged: bool) -> str:
    bare = "with its rig it" if rigged else "it"
    if water["behaviour"] == "suspends":
        return f"{bare} suspends"
    return f"{bare} {water['behaviour']}, about {abs(water['sink_rate_mm_s']):.0f} mm/s"


def _salt(plastic: Normal, shot: Metrics) -> str:
    if not plastic["salt_wt_pct"]:
        return "none"
    return (
        f"{plastic['salt_wt_pct']:g} % by weight: {shot['salt_per_litre_g']:.3g} g to a litre of plastic; dry it first"
    )


def colours(normal: Normal, metrics: Metrics) -> Iterator[tuple[str, str, str, str]]:
    """Where each lies, what it is, and how much."""
    yield "Where", "Colour", "A bait", "This run"
    for each in metrics["shot"]["colours"]:
        same = each["name"] in ("colour", each["place"])
        name = each["colour"] if same else f"{each['name']} ({each['colour']})"
        share = "" if each["share_pct"] == 100 else f" ({each['share_pct']:.3g} %)"
        yield each["place"], name, f"{each['bait_g']:.3g} g{share}", f"{each['run_fresh_g']:.4g} g"
    glitter = normal["finish"].get("glitter")
    if glitter:
        flakes = f"{glitter['size_mm']:g} mm, {glitter['per_cm3']:g} to a cm3"
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
    yield "One shot", f"{shot['shot_g']:.3g} g, {shot['shot_ml']:.3g} mL hot, {_cavities(shot)}"
    gated = shot["fill"] is not None
    if gated:
        yield "In channels", f"{shot['channels_g']:.3g} g, {100 * remelt_share(asked):g} % back into the pot"
    yield "Waste", f"{shot['waste_g']:.3g} g a shot ({asked['waste_pct']:g} % of what is heated)"
    if gated:
        yield "From the sprue", f"{shot['fed_from_sprue_g']:.2g} g while it shrinks"
        yield "Injector", _injector(asked, shot)
    yield (
        "Baits",
        f"{shot['baits_per_litre']:.3g} to a litre, {shot['baits_per_bottle']} to a bottle of "
        f"{asked['bottle_ml']:g} mL",
    )
    salt = f" and {run['salt_g']:.4g} g salt" if run["salt_g"] else ""
    bottles = "bottle" if run["bottles"] == 1 else "bottles"
    yield f"For {run['baits']} baits", f"{run['plastic_ml']:.4g} mL plastic ({run['bottles']} {bottles}){salt}"
    if shot["cost"] is not None:
        cost = shot["cost"]
        parts = ", ".join(f"{name} {cost[name]:.3f}" for name in ("plastic", "salt", "extras", "work") if cost[name])
        yield "Cost of a bait", f"{cost['per_bait']:.2f} {cost['currency']}".strip() + (f" ({parts})" if parts else "")


def _cavities(shot: Metrics) -> str:
    return "1 cavity" if shot["cavities"] == 1 else f"{shot['cavities']} cavities"


def _injector(asked: Normal, shot: Metrics) -> str:
    if shot["shots_per_filling"] >= 1:
        times = "1 shot" if shot["shots_per_filling"] == 1 else f"{shot['shots_per_filling']} shots"
        return f"{times} to a filling of {asked['injector_ml']:g} mL"
    return f"too small: a shot takes {shot['injector_fillings']} fillings of {asked['injector_ml']:g} mL"


def cycle_rows(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """Pressure, times, and how many an hour."""
    asked, shot = normal["shot"], metrics["shot"]
    cooling, fill = shot["cooling"], shot["fill"]
    if fill is None:
        yield "Filling", "poured open"
    else:
        clamp = shot["clamp_n"]
        yield (
            "Clamp",
            f"{clamp:.3g} N ({clamp * NEWTON_TO_KGF:.3g} kgf) at {asked['pressure_mpa']:g} MPa on "
            f"{shot['projected_mm2']:.4g} mm2",
        )
        thin, thick = fill["thin"], fill["thick"]
        pressures = f"{thin['pressure_mpa']:.2g} to {thick['pressure_mpa']:.2g} MPa through the gate"
        yield "Filling", f"{seconds(thin['seconds'], thick['seconds'])}, {pressures}"
    body = "plate" if cooling["form"] == "plate" else "rod"
    yield (
        "Cooling",
        (
            f"{cooling['typical_s']:.0f} s, {seconds(cooling['low_s'], cooling['high_s'])}: to "
            f"{degrees(asked['release_temperature_c'])} in the middle of a {body} of {cooling['thickness_mm']:.3g} mm, "
            f"wall at {cooling['wall_c']:.0f} °C{'' if 'wall_temperature_c' in asked else ' at first'}"
        ),
    )
    moulds = asked["moulds_in_turn"]
    turn = "" if moulds == 1 else f"; with {moulds} moulds in turn a shot every {shot['shot_every_s']:.0f} s"
    yield (
        "Cycle",
        f"{shot['cycle_s']:.0f} s with {asked['handling_s']:g} s handling{turn}: {shot['baits_per_hour']:.3g} baits an "
        "hour",
    )


def after_rows(normal: Normal, metrics: Metrics) -> Iterator[Row]:
    """From the mould to the bag."""
    sheet = normal["sheet"]
    bag = sheet.get("bag_length", metrics["length_mm"] + BAG_BEYOND_MM)
    yield "Then", "lay flat and straight until cold" if sheet["cool_as"] == "flat" else "hang by the nose until cold"
    yield "Rest", f"{sheet['rest_hours']:g} h before packing"
    yield (
        "Pack",
        f"{sheet['per_pack']} in a bag, {length(bag)} inside; {normal['shot']['baits'] // sheet['per_pack']} packs",
    )
    yield "Counted", BLANK


def mould_rows(metrics: Metrics) -> Iterator[Row]:
    """The mould as it was built, else what the shot assumes of it."""
    shot, mould = metrics["shot"], metrics.get("mould")
    if mould is not None:
        sides = " x ".join(f"{mould[f'block_{side}_mm']:.4g}" for side in ("length", "width", "height"))
        yield "Kind", f"{mould['kind'].replace('_', ' ')}, {mould['material']}, block {sides} mm"
    yield (
        "Cavity",
        f"{shot['cavities']} of {shot['cavity_mm3'] / 1000:.3g} cm3, {shot['cavity_scale']:.4f} times the bait",
    )
    if shot["channels_mm3"]:
        yield "Channels", f"{shot['channels_mm3'] / 1000:.3g} cm3 with the sprue"
    if mould is not None and mould["gate_depth_mm"]:
        yield (
            "Gate",
            f"{mould['gate_width_mm']:.3g} x {mould['gate_depth_mm']:.3g} mm, {mould['gate_length_mm']:.3g} long",
        )
        yield "Sprue", f"{mould['sprue_diameter_mm']:.3g} mm at the top, {mould['sprue_length_mm']:.3g} long"
    for sentence in shot["assumed"]:
        yield "Assumed", sentence
