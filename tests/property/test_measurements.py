"""Measured test pieces: what the schema takes the reader takes, and what is read makes a plastic that can be sent."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from service.measured_plastics import figures_from, with_figures
from service.own_plastics import RECORD, described, read_definition
from tests.property.drawn import for_all
from tests.property.test_schema_and_reader import wild
from worker.errors import Fault, InvalidRequest
from worker.measures.trial.pieces import FIGURE_OF
from worker.request import read_request
from worker.request.composed import object_schema
from worker.request.measurements import LONGEST_SOURCE, MEASUREMENTS, Measurements, read_measurements
from worker.request.plastic import PLASTIC
from worker.values.own_plastics import FIGURES
from worker.values.parameter import Parameter

SCHEMA = object_schema(MEASUREMENTS)
VALIDATOR = Draft202012Validator(SCHEMA)
PIECES: dict[str, dict[str, Parameter]] = {
    kind: {name: field.parameter for name, field in piece.fields.items() if name != "kind"}
    for kind, piece in MEASUREMENTS.fields["measurements"].item.schemas.items()
}
OURS = {"summary": "x", "grade": "soft", "properties": {"strength": {"low": 1, "typical": 1, "high": 1, "source": "x"}}}


@st.composite
def wild_pieces(draw: st.DrawFn) -> dict[str, Any]:
    """Pieces with good and bad members, some left out, some that there are not, some of another kind."""
    kind = draw(st.sampled_from(sorted(PIECES)))
    members = {name: draw(wild(each)) for name, each in PIECES[kind].items() if draw(st.integers(0, 7))}
    if not draw(st.integers(0, 9)):
        members[draw(st.sampled_from(["x", "drop", "mass_g"]))] = 1
    return {"kind": draw(st.sampled_from([kind, kind, kind, "stretch", None])), **members}


@st.composite
def good_pieces(draw: st.DrawFn) -> dict[str, Any]:
    """Pieces whose members lie each in its range, most of them as a maker would find them."""
    kind = draw(st.sampled_from(sorted(PIECES)))
    if kind == "pull":
        gauge = draw(st.sampled_from([("gauge_diameter",), ("gauge_width", "gauge_thickness")]))
        sizes = {name: draw(st.integers(20, 120)) / 10 for name in gauge}
        return {"kind": kind, **sizes, "break_force_n": draw(st.integers(2, 900)) / 10}
    if kind in ("overhang", "droop"):
        diameter = draw(st.integers(40, 140)) / 10
        length = round(diameter * draw(st.integers(40, 200)) / 10, 3)
        if kind == "overhang":
            return {"kind": kind, "diameter": diameter, "overhang": length}
        drop = round(length * draw(st.integers(25, 790)) / 1000, 3)
        return {"kind": kind, "diameter": diameter, "length": length, "drop": drop}
    if kind == "density":
        volume = draw(st.integers(1, 500))
        return {"kind": kind, "volume_ml": volume, "mass_g": volume * draw(st.integers(55, 280)) / 100}
    mould = draw(st.integers(50, 200))
    return {"kind": kind, "mould_length": mould, "cooled_length": round(mould * draw(st.integers(901, 1000)) / 1000, 3)}


def _faults(body: Any) -> tuple[Fault, ...]:
    try:
        read_measurements(body)
    except InvalidRequest as refused:
        return refused.faults
    return ()


@for_all(st.lists(wild_pieces(), min_size=0, max_size=3), quick=150, proof=5000)
def test_the_schema_and_the_reader_take_the_same(pieces: list[Any]) -> None:
    body = {"measurements": pieces}
    faults = _faults(body)
    if VALIDATOR.is_valid(body):
        # A schema does not know what a length in text is, nor what two members make together.
        assert all(fault.code in ("out-of-range", "not-a-length") for fault in faults), (body, faults)
    else:
        assert faults, body
    assert all(fault.pointer.startswith("/measurements") for fault in faults)


@for_all(st.lists(good_pieces(), min_size=1, max_size=12), quick=60, proof=1000)
def test_what_is_measured_can_be_kept_told_and_sent(pieces: list[Any]) -> None:
    body = {"measurements": pieces, "source": "x" * LONGEST_SOURCE}
    assert VALIDATOR.is_valid(body)
    read = read_measurements(body)
    good = _without_refused(read)
    if not good.pieces:
        return
    definition = with_figures(OURS, figures_from(good, OURS))
    for name, figure in definition["properties"].items():
        assert FIGURES[name].minimum <= figure["low"] <= figure["typical"] <= figure["high"] <= FIGURES[name].maximum
    assert set(definition[RECORD]) == {FIGURE_OF[piece["kind"]] for piece in good.pieces}
    assert read_definition({name: each for name, each in definition.items() if name != RECORD}) == {
        name: each for name, each in definition.items() if name != RECORD
    }
    told = described("ours", definition)
    plastic = {"name": "ours", "grade": told["grade"], "properties": definition["properties"]}
    assert Draft202012Validator(object_schema(PLASTIC)).is_valid(plastic)
    asked = read_request({"style": "stick_worm", "plastic": plastic})
    assert asked.normal["plastic"]["properties"] == definition["properties"]


def _without_refused(read: Measurements) -> Measurements:
    """Less the pieces that tell of no plastic of baits, which are refused by their places."""
    try:
        figures_from(read, OURS)
    except InvalidRequest as refused:
        places = {int(fault.pointer.removeprefix("/measurements/")) for fault in refused.faults}
        left = tuple(piece for place, piece in enumerate(read.pieces) if place not in places)
        return _without_refused(Measurements(left, read.source))
    return read


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(SCHEMA)
