"""The members of a request that every style shares: plastic, finish, require, checks."""

from __future__ import annotations

from typing import Any

from worker.request.composed import ObjectField, StrictSchema, schema
from worker.request.fields import ColourField, FlagField, OptionalParameterField, ParameterField
from worker.values.parameter import Parameter
from worker.values.pictures import TRANSLUCENCY
from worker.values.pulls import LIMB_PULLS
from worker.values.questions import CHECKS, Check

GLITTER_SIZE = Parameter(
    "size_mm",
    "number",
    "Flake size",
    "Width of a flake.",
    default=0.6,
    minimum=0.1,
    maximum=3.0,
    step=0.1,
    unit="mm",
)
GLITTER_COUNT = Parameter(
    "per_cm3",
    "number",
    "Flakes",
    "Flakes in a cubic centimetre.",
    default=40.0,
    maximum=2000.0,
    step=5.0,
    unit="1/cm3",
)
JOINT_PULL = Parameter(
    "joint_pull_n",
    "number",
    "Pull asked of every joint of the trunk",
    "In place of the limit by girth: 8 N under 7 mm, 15 N to 12 mm, 20 N above (judgement). With a rig 40 % of it is "
    "asked of joints that hang free of the hook.",
    default=15.0,
    minimum=0.1,
    maximum=500.0,
    step=0.5,
    unit="N",
)
TOLERANCE = Parameter(
    "tolerance_mm",
    "number",
    "Tolerance",
    "How far the mesh may lie from the exact surface.",
    default=0.02,
    minimum=0.005,
    maximum=0.2,
    step=0.005,
    unit="mm",
)
DETAIL = Parameter(
    "detail",
    "choice",
    "Detail",
    "coarse is a preview: a mesh with eight times the tolerance and pictures half as wide. Every joint, length and "
    "verdict is that of the full bait, but those of through_hole and resolution, which are asked of the mesh itself.",
    default="full",
    choices=("full", "coarse"),
)


GLITTER = schema(
    colour=ColourField(load_default="#ffd700"),
    size_mm=ParameterField(GLITTER_SIZE),
    per_cm3=ParameterField(GLITTER_COUNT),
)


class _Finish(StrictSchema):
    """What does not fluoresce says nothing of it: written or not, that is one bait."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        return {name: value for name, value in data.items() if name != "fluorescent" or value}


FINISH = schema(
    _Finish,
    colour=ColourField(load_default="#6b8e23"),
    glitter=ObjectField(GLITTER, absent=True),
    translucency=OptionalParameterField(TRANSLUCENCY),
    fluorescent=FlagField(
        "Fluorescent",
        "The dye gives back as visible light what it takes in beyond the blue: thin places and edges shine.",
        load_default=False,
    ),
)
PULLS: dict[str, Parameter] = {JOINT_PULL.name: JOINT_PULL, **LIMB_PULLS}
"""What a request can require of its joints."""
REQUIRE = schema(**{name: OptionalParameterField(pull) for name, pull in PULLS.items()})


def _check_schema(check: Check) -> StrictSchema:
    members: dict[str, Any] = {"silence": FlagField(load_default=False)}
    members |= {member.name: OptionalParameterField(member) for member in check.settable}
    return schema(**members)


CHECKS_SECTION = schema(**{check.name: ObjectField(_check_schema(check), absent=True) for check in CHECKS.values()})
