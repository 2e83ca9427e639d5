"""The maker's terms: what is fished for, how and where. Rules turn them into a fit (see `rules.py`)."""

from __future__ import annotations

from worker.request.composed import ObjectField, schema
from worker.request.fields import OptionalParameterField, ParameterField
from worker.request.rig import HOOK
from worker.values.parameter import Parameter
from worker.values.rigs import RIG_KINDS

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
MAKER = schema(
    fish=ParameterField(FISH, required=True),
    rig=OptionalParameterField(RIG),
    hook=ObjectField(HOOK, "Hook", "By its lengths; left out, the rules choose.", absent=True),
    depth=ParameterField(DEPTH),
    water=ParameterField(WATER),
    cover=ParameterField(COVER),
)
