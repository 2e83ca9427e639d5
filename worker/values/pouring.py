"""What a request may say of the pour (`shot`): temperatures, injector, colours, waste and prices; declared once."""

from __future__ import annotations

from worker.values.parameter import Kind, Parameter

FUSES_C, GENTLE_C, HARSH_C, NEVER_C = 160.0, 180.0, 200.0, 220.0
"""Plastisol, °C: below the first it has not fused; up to the second all is well; above the third it decomposes fast;
from the last on no temperature is recommended. 160 to 180 is the best window that a study of curing found (IEEE
Trans. UFFC, "The effect of curing temperature and time"); dehydrochlorination is slow from 150 to 180 and accelerates
from 180 to 250 (Energy & Fuels 17, 2003, 896). The steps are judgement from these."""

JUDGED = "Judgement; a figure of yours wins."


def _number(
    name: str,
    title: str,
    text: str,
    default: float,
    minimum: float,
    maximum: float,
    step: float,
    unit: str,
    kind: Kind = "number",
) -> Parameter:
    return Parameter(name, kind, title, text, default=default, minimum=minimum, maximum=maximum, step=step, unit=unit)


POUR = _number(
    "pour_temperature_c",
    "Pour temperature",
    "Of the plastic as it enters the mould: under 160 it has not fused, above 180 it begins to decompose.",
    175.0,
    100.0,
    260.0,
    1.0,
    "°C",
)
WALL = _number(
    "wall_temperature_c",
    "Wall temperature",
    "Of the mould's wall, held while the bait sets. Left out, the heat passes the wall to the mould's warmth.",
    40.0,
    0.0,
    150.0,
    1.0,
    "°C",
)
MOULD = _number("mould_temperature_c", "Mould's warmth", "Of the mould before the shot.", 30.0, 0.0, 150.0, 1.0, "°C")
RELEASE = _number(
    "release_temperature_c",
    "Release temperature",
    "Of the bait's middle when it is taken out of the mould: about 50 is common practice, without a source.",
    50.0,
    25.0,
    100.0,
    1.0,
    "°C",
)
BAITS = Parameter(
    "baits", "whole", "Baits wanted", "How many are to be poured.", default=50, minimum=1, maximum=100000, step=1
)
BOTTLE = _number("bottle_ml", "Bottle", "How much plastic a bottle holds.", 500.0, 10.0, 200000.0, 10.0, "mL")
INJECTOR = _number("injector_ml", "Injector", "How much hot plastic it holds.", 120.0, 5.0, 5000.0, 5.0, "mL")
PRESSURE = _number(
    "pressure_mpa",
    "Pressure",
    f"In the cavity while it is filled, by hand or lever. {JUDGED}",
    0.3,
    0.001,
    10.0,
    0.05,
    "MPa",
)
FLOW = _number(
    "flow_ml_s",
    "Injector's flow",
    f"What a hand pushes where nothing holds it back. {JUDGED}",
    10.0,
    0.1,
    1000.0,
    1.0,
    "mL/s",
)
THIN = _number(
    "viscosity_low_pa_s",
    "Least hot viscosity",
    f"Of the molten plastic at its thinnest. {JUDGED}",
    0.3,
    0.01,
    1000.0,
    0.1,
    "Pa.s",
)
THICK = _number(
    "viscosity_high_pa_s",
    "Greatest hot viscosity",
    f"Of the molten plastic at its thickest. {JUDGED}",
    3.0,
    0.01,
    1000.0,
    0.1,
    "Pa.s",
)
WASTE = _number(
    "waste_pct",
    "Waste",
    f"Of what is heated, how much stays in pot, cup and injector. {JUDGED}",
    5.0,
    0.0,
    50.0,
    1.0,
    "%",
)
REMELT = _number(
    "remelt_pct",
    "Remelt",
    "Of what sets in sprue, runners and gates, how much goes back into the pot. Left out, all of one colour's, and "
    "none of a shot of several, which run together there.",
    100.0,
    0.0,
    100.0,
    5.0,
    "%",
)
HANDLING = _number(
    "handling_s",
    "Handling",
    f"To clamp, shoot, open, take out and close again. {JUDGED}",
    40.0,
    0.0,
    3600.0,
    5.0,
    "s",
)
MOULDS = Parameter(
    "moulds_in_turn",
    "whole",
    "Moulds in turn",
    "How many moulds alike are shot one after another, so that one is filled and emptied while others cool.",
    default=1,
    minimum=1,
    maximum=100,
    step=1,
)
METHOD = Parameter(
    "method",
    "choice",
    "Colours' lie",
    "single: one colour. laminate: two to four side by side, the back's first. core_shot: the skin's colour, then that "
    "of a core along the middle.",
    default="single",
    choices=("single", "laminate", "core_shot"),
)
SHARE = _number(
    "share_pct",
    "Share",
    "Of the bait's volume. Those left out share the rest of a laminate equally.",
    50.0,
    0.1,
    100.0,
    1.0,
    "%",
)
CORE_DIAMETER = _number("core_diameter", "Core's diameter", "Of a core shot.", 4.0, 0.5, 40.0, 0.5, "mm", kind="length")
CORE_LENGTH = _number(
    "core_length",
    "Core's length",
    "Of a core shot, round ends and all. Left out, it is 0.7 of the trunk's (judgement).",
    60.0,
    1.0,
    500.0,
    1.0,
    "mm",
    kind="length",
)
MOST_COLOURS = 4

PLASTIC_PRICE = _number("plastic_per_l", "Plastic", "Price of a litre.", 0.0, 0.0, 1e6, 0.5, "")
SALT_PRICE = _number("salt_per_kg", "Salt", "Price of a kilogram.", 0.0, 0.0, 1e6, 0.5, "")
EXTRAS_PRICE = _number(
    "extras_per_bait", "Extras", "Price of colour, glitter, scent and packing for a bait.", 0.0, 0.0, 1e6, 0.05, ""
)
HOUR_PRICE = _number("work_per_hour", "Work", "Price of an hour at the bench.", 0.0, 0.0, 1e6, 1.0, "")
