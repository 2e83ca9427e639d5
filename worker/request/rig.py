"""The members `rig` and `water` of a request."""

from __future__ import annotations

from worker.request.composed import ListField, ObjectField, schema
from worker.request.fields import OptionalParameterField, ParameterField, StationField
from worker.values import rigs as d

HOOK = schema(
    gape=ParameterField(d.GAPE),
    shank=ParameterField(d.SHANK),
    wire=ParameterField(d.WIRE),
    mass_g=OptionalParameterField(d.HOOK_MASS),
)
_WEIGHT = schema(
    mass_g=ParameterField(d.WEIGHT_MASS),
    station=StationField("Station", "Where it sits along the trunk; 0 is the nose.", load_default=0.0),
    material=ParameterField(d.MATERIAL),
)

RIG = ObjectField(
    schema(
        kind=ParameterField(d.KIND),
        station=StationField(
            "Station",
            "Where along the trunk the wire crosses the bait. Left out, it follows from the kind: texas and jig_head "
            "as far behind the nose as the shank is long, wacky in the middle, neko at 0.6, nose just behind the nose.",
        ),
        hook=ObjectField(HOOK, "Hook", "By its lengths."),
        weights=ListField(
            ObjectField(_WEIGHT),
            0,
            d.MOST_WEIGHTS,
            "Weights",
            "Sinkers, jig heads, nail weights, rattles; foam is a float.",
            default=[],
        ),
    ),
    "Rig",
    "The hook and what is hung on with it. Without it the bait is judged bare.",
    absent=True,
)
WATER = ObjectField(
    schema(temperature_c=ParameterField(d.TEMPERATURE), salinity=ParameterField(d.SALINITY)),
    "Water",
    "That it is fished in: fresh and salt water of this temperature.",
)
