"""The member `mould` of a request."""

from __future__ import annotations

from typing import Any

from worker.request.composed import ObjectField, schema
from worker.request.fields import OptionalParameterField, ParameterField
from worker.values import mould as d

_PARTING = schema(turn_deg=ParameterField(d.TURN), height=ParameterField(d.HEIGHT))

_MOULD = schema(
    kind=ParameterField(d.KIND),
    material=ParameterField(d.MATERIAL),
    cavities=ParameterField(d.CAVITIES),
    parting=ObjectField(
        _PARTING,
        "Parting plane",
        "Where the halves meet. Left out, the plane of least undercut is taken of every 15 degrees about the line from "
        "nose to tail, each at every height.",
        absent=True,
    ),
    wall=OptionalParameterField(d.WALL),
    gate_at=ParameterField(d.GATE_AT),
    gate_share=ParameterField(d.GATE_SHARE),
    nozzle=ParameterField(d.NOZZLE),
    fastening=ParameterField(d.FASTENING),
    revision=ParameterField(d.REVISION),
    bed=ObjectField(schema(**{each.name: ParameterField(each) for each in d.BED}), "Bed", "Room to make a half in."),
)

MOULD = ObjectField(
    _MOULD,
    "Mould",
    "The mould that the bait comes out of; its figures and checks come with a build, its files with the output mould.",
    absent=True,
)


def default_mould() -> dict[str, Any]:
    """The mould of a request that asks for its files and says nothing of it."""
    read: dict[str, Any] = _MOULD.load({})
    return read
