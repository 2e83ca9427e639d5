"""The maker's terms: what is fished for, how and where. Rules turn them into a fit (see `rules.py`)."""

from __future__ import annotations

from worker.request.composed import ObjectField, schema
from worker.request.fields import OptionalParameterField, ParameterField
from worker.values.parameter import Parameter
from worker.values.rigs import GAPE, HOOK_MASS, RIG_KINDS, SHANK, WIRE

FISH = Parameter(
    "fish",
    "choice",
    "Fish",
    "What is fished for.",
    default="bass",
    choices=("bass", "perch", "panfish", "trout", "zander", "pike", "sea_bass", "flounder", "cod"),
)
RIG = Parameter(
    "rig",
    "choice",
    "Rig",
    "; ".join(f"{kind}: {words}" for kind, words in RIG_KINDS.items()) + ". Left out, the rules choose.",
    default="texas",
    choices=tuple(RIG_KINDS),
)
DEPTH = Parameter(
    "depth",
    "length",
    "Depth",
    "That it is fished at, in millimetres or as text: '3 m', '12 ft'.",
    default=2000.0,
    minimum=100.0,
    maximum=100_000.0,
    step=100.0,
    unit="mm",
)
WATER = Parameter(
    "water", "choice", "Water", "fresh, brackish or salt.", default="fresh", choices=("fresh", "brackish", "salt")
)
COVER = Parameter(
    "cover",
    "choice",
    "Cover",
    "What it is fished in: open water, weed, wood, rock.",
    default="open",
    choices=("open", "weed", "wood", "rock"),
)
HOOK = schema(**{each.name: OptionalParameterField(each) for each in (GAPE, SHANK, WIRE, HOOK_MASS)})
"""Told in part, the rest is of the hook that the rules choose for the fish: a small hook has no long shank."""
MAKER = schema(
    fish=ParameterField(FISH, required=True),
    rig=OptionalParameterField(RIG),
    hook=ObjectField(HOOK, "Hook", "By its lengths; what is left out, the rules choose.", absent=True),
    depth=ParameterField(DEPTH),
    water=ParameterField(WATER),
    cover=ParameterField(COVER),
)
