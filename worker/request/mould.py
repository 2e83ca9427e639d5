"""The member `mould` of a request."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from worker.errors import Fault
from worker.measures.strand.skin import skin_of
from worker.request.composed import ObjectField, StrictSchema, schema
from worker.request.fields import OptionalParameterField, ParameterField
from worker.strands.strand import Strand
from worker.values import mould as d

AROUND = 96
"""Places around a strand's skin that are looked at for how far it reaches."""


class _Parting(StrictSchema):
    """A plane is given by its turn, its height or both; of one alone the other has its default."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if not {"turn_deg", "height"} & set(data):
            return data
        return {"turn_deg": d.TURN.default, "height": d.HEIGHT.default, **data}


_PARTING = schema(
    _Parting,
    form=ParameterField(d.FORM),
    steepest_deg=ParameterField(d.STEEPEST),
    turn_deg=OptionalParameterField(d.TURN),
    height=OptionalParameterField(d.HEIGHT),
)

_MOULD = schema(
    kind=ParameterField(d.KIND),
    material=ParameterField(d.MATERIAL),
    cavities=ParameterField(d.CAVITIES),
    parting=ObjectField(
        _PARTING,
        "Parting",
        "Where the halves meet: a plane, and the face between them. Where neither turn nor height is given, the plane "
        "of least undercut is taken of every 15 degrees about the line from nose to tail, each at every height.",
    ),
    wall=OptionalParameterField(d.WALL),
    gate_at=ParameterField(d.GATE_AT),
    gate_share=ParameterField(d.GATE_SHARE),
    core_draft=ParameterField(d.CORE_DRAFT),
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


_FLAT = ("open_pour", "dipped")
_NEEDS = {"injected_with_core": ("bore", "pocket", "inside"), "dipped": ("inside",)}


def mould_faults(asked: Mapping[str, Any], strands: Sequence[Strand], hollows: Sequence[Strand]) -> Iterator[Fault]:
    """A kind of mould that leaves something hollow, for a bait that has nothing of that; a parting plane that misses
    the bait.
    """
    needed = _NEEDS.get(asked["kind"])
    if needed is not None and not any(hollow.kind in needed for hollow in hollows):
        detail = f"A mould of kind {asked['kind']} leaves a bait hollow; this one has no {' or '.join(needed)}."
        yield Fault("/mould/kind", "nothing-hollow", detail, {"choices": ["injected", "open_pour"]})
    if asked["parting"]["form"] == "following" and asked["kind"] in _FLAT:
        detail = f"A mould of kind {asked['kind']} has no face that follows the bait between two halves."
        yield Fault("/mould/parting/form", "no-second-half", detail, {"choices": ["auto", "flat"]})
    if "height" in asked["parting"] and asked["kind"] != "dipped":
        turn, height = (float(asked["parting"][name]) for name in ("turn_deg", "height"))
        low, high = _heights(strands, turn)
        if not low <= height <= high:
            detail = f"At {turn:g} degrees the bait reaches from {low:g} to {high:g} mm: this parting plane misses it."
            yield Fault(
                "/mould/parting/height", "beside-the-bait", detail, {"minimum": low, "maximum": high, "unit": "mm"}
            )


def _heights(strands: Sequence[Strand], turn: float) -> tuple[float, float]:
    """From where to where a bait reaches off the line from nose to tail, towards the half that comes off at this turn
    in degrees; mm, to a hundredth inwards. What hollows take away of that, a build finds.
    """
    around = 2 * np.pi * np.arange(AROUND) / AROUND
    back, left = math.cos(math.radians(turn)), -math.sin(math.radians(turn))
    lows, highs = [], []
    for strand in strands:
        skin = skin_of(strand)
        points = skin.places(np.arange(len(skin.station), dtype=np.float64)[None], around[None])
        heights = back * points[..., 2] + left * points[..., 1]
        lows.append(float(heights.min()))
        highs.append(float(heights.max()))
    return math.ceil(100 * min(lows)) / 100, math.floor(100 * max(highs)) / 100
