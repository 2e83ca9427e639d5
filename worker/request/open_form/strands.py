"""How strands are read: those that grow out of no other, and those that have a parent."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from worker.open_form import declared as d
from worker.request.composed import EitherField, ListField, schema
from worker.request.fields import ParameterField
from worker.request.open_form.members import StationsField
from worker.request.open_form.placing import named, placed
from worker.request.open_form.shape import required, shape

_FREE = schema(
    name=named("Name", "Of its own."),
    kind=required(d.FREE_KIND),
    **placed("Where its path begins, from the nose."),
    **shape("round", "round"),
)
_LIMB = schema(
    name=named("Name", "Of its own."),
    kind=required(d.LIMB_KIND),
    parent=named("Parent", "Name of the strand that it grows out of; one with copies bears it on each."),
    stations=StationsField("Stations", "Where along the parent it grows: once at each place."),
    **placed("Where its path begins, from the parent's path there: along it, to its left, to its back."),
    root_blend=ParameterField(d.ROOT_BLEND),
    **shape("flat", "round"),
)


def _pick(value: Mapping[str, Any]) -> str:
    return "limb" if "parent" in value else "free"


STRANDS = ListField(
    EitherField({"free": _FREE, "limb": _LIMB}, _pick, "A strand"),
    1,
    d.MOST_STRANDS,
    "Strands",
    "What the bait is made of. The first without a parent is the trunk.",
)
