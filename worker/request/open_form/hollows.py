"""How hollows are read: each kind by the maker's measures, or any of them as the strand that is taken out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from marshmallow import ValidationError

from worker.open_form import declared as d
from worker.request.composed import EitherField, ListField, StrictSchema, by_tag, schema
from worker.request.faults import Flaw
from worker.request.fields import ParameterField, TextField
from worker.request.open_form.members import StationsField
from worker.request.open_form.placing import both_sides, named, placed, pointing
from worker.request.open_form.shape import HOLLOW_GIRTH, PATH, ends, required, section, stretch, tagged

_TOGETHER = Flaw("missing", "A strand is named together with the stations along it.")
_THERE = "From the strand's path there: along it, to its left, to its back."


class TakenOutSchema(StrictSchema):
    """A hollow as a strand: along the strand that it is taken out of, or from the nose where none is named."""

    says: ClassVar[Mapping[str, Any]] = {"dependentRequired": {"strand": ["stations"], "stations": ["strand"]}}

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        for one, other in (("strand", "stations"), ("stations", "strand")):
            if one in data and other not in data:
                raise ValidationError({other: [_TOGETHER]})
        return data


def _in() -> TextField:
    return named("Strand", "Name of the strand that it is taken out of; of one with copies, out of each.")


def _stations(text: str, default: list[Any] | None = None) -> StationsField:
    return StationsField("Stations", text, default=default)


MEASURED = {
    "slot": tagged(
        "slot",
        strand=_in(),
        **stretch(),
        side=ParameterField(d.SLOT_SIDE),
        width=ParameterField(d.SLOT_WIDTH),
        depth=ParameterField(d.SLOT_DEPTH),
    ),
    "bore": tagged(
        "bore",
        strand=_in(),
        stations=_stations("Where it goes in; 0 is the root end, 1 the tip end.", [0.0]),
        **pointing(_THERE),
        both_sides=both_sides(),
        diameter=ParameterField(d.BORE_DIAMETER),
        length=ParameterField(d.BORE_LENGTH),
    ),
    "pocket": tagged(
        "pocket",
        strand=_in(),
        stations=_stations("Where its middle lies."),
        **pointing(_THERE),
        both_sides=both_sides(),
        diameter=ParameterField(d.POCKET_DIAMETER),
        length=ParameterField(d.POCKET_LENGTH),
    ),
    "socket": tagged(
        "socket",
        strand=_in(),
        stations=_stations("Where its middle lies."),
        around=ParameterField(d.AROUND),
        both_sides=both_sides(),
        diameter=ParameterField(d.SOCKET_DIAMETER),
        depth=ParameterField(d.SOCKET_DEPTH),
    ),
    "inside": tagged("inside", strand=_in(), **stretch(0.15, 1.0), wall=ParameterField(d.WALL)),
    "cut": tagged(
        "cut",
        strand=_in(),
        **stretch(0.5, 1.0),
        around=ParameterField(d.CUT_AROUND),
        count=ParameterField(d.CUT_COUNT),
        width=ParameterField(d.CUT_WIDTH),
    ),
}

_AS_STRAND = schema(
    TakenOutSchema,
    kind=required(d.HOLLOW_KIND),
    strand=TextField(d.LONGEST_NAME, "Strand", "Name of the strand that it lies in."),
    stations=StationsField("Stations", "Where along that strand.", optional=True),
    **placed("Where its path begins, from the nose or from its place on the strand."),
    path=PATH,
    girth=HOLLOW_GIRTH,
    section=section(d.HOLLOW_UPPER, d.HOLLOW_LOWER),
    ends=ends("round", "round"),
)

_pick_measured = by_tag("kind", tuple(MEASURED))


def _pick(value: Mapping[str, Any]) -> str:
    return "strand" if "path" in value else _pick_measured(value)


HOLLOWS = ListField(
    EitherField({**MEASURED, "strand": _AS_STRAND}, _pick, "A hollow"),
    0,
    d.MOST_HOLLOWS,
    "Hollows",
    "What is taken out: by the maker's measures, or as a strand of its own.",
    default=[],
)
