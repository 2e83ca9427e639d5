"""Rigs: how a hook sits in a bait, what hook it is, and what else is hung on; declared once. And the water."""

from __future__ import annotations

from worker.values.parameter import Kind, Parameter

RIG_KINDS: dict[str, str] = {
    "texas": "the eye at the nose, the shank below the bait, the point up through it",
    "jig_head": "a head at the nose, the shank inside the bait, the point out of its back",
    "wacky": "across the middle, both halves free",
    "neko": "across it nearer the tail than the nose, a weight in the nose",
    "nose": "across it just behind the nose",
}
"""Each kind of rig in words. The lengths that follow from it are in measures/hook/rig.py."""

MATERIALS: dict[str, float] = {
    "lead": 11.34,
    "tungsten": 17.5,
    "bismuth": 9.7,
    "brass": 8.5,
    "steel": 7.85,
    "glass": 2.5,
    "foam": 0.15,
}
"""What weights, rattles and floats are made of, g/cm3 (from memory; tungsten as it is sintered for weights)."""

MOST_WEIGHTS = 8


def _number(
    kind: Kind,
    name: str,
    title: str,
    text: str,
    default: float,
    minimum: float,
    maximum: float,
    step: float,
    unit: str,
) -> Parameter:
    return Parameter(name, kind, title, text, default=default, minimum=minimum, maximum=maximum, step=step, unit=unit)


KIND = Parameter(
    "kind",
    "choice",
    "Rig",
    "; ".join(f"{kind}: {words}" for kind, words in RIG_KINDS.items()) + ".",
    default="texas",
    choices=tuple(RIG_KINDS),
)
GAPE = _number("length", "gape", "Gape", "From the hook's point to its shank.", 12.0, 2.0, 60.0, 0.5, "mm")
SHANK = _number(
    "length", "shank", "Shank", "From the hook's eye to where its bend begins.", 38.0, 4.0, 150.0, 0.5, "mm"
)
WIRE = _number("length", "wire", "Wire", "How thick the hook's wire is.", 1.2, 0.3, 3.0, 0.05, "mm")
HOOK_MASS = _number(
    "number",
    "mass_g",
    "Hook's mass",
    "Where it is left out it is worked out from the length of the wire.",
    0.8,
    0.01,
    40.0,
    0.05,
    "g",
)
WEIGHT_MASS = _number("number", "mass_g", "Mass", "In air.", 3.5, 0.01, 120.0, 0.1, "g")
MATERIAL = Parameter(
    "material",
    "choice",
    "Material",
    "What it is made of: the denser, the more of its mass is left in water.",
    default="lead",
    choices=tuple(MATERIALS),
)

TEMPERATURE = _number("number", "temperature_c", "Temperature", "Of the water.", 20.0, 0.0, 40.0, 1.0, "°C")
SALINITY = _number(
    "number",
    "salinity",
    "Salinity",
    "Of the salt water, practical salinity: about grams of salt in a kilogram. The open sea has 35.",
    35.0,
    0.0,
    42.0,
    1.0,
    "",
)
