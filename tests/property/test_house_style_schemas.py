"""House styles drawn from the declarations of every style: what their schemas accept, the reader accepts, and back."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from marshmallow import ValidationError

from tests.property.drawn import for_all, numbers
from tests.property.test_schema_and_reader import wild
from worker.errors import Fault, InfeasibleRequest
from worker.request import read_request
from worker.request.composed import object_schema
from worker.request.faults import faults_in
from worker.request.house import defining, read_definition, read_kept
from worker.request.house_shape import DEFINING, KEPT
from worker.request.schema import params_schema
from worker.styles import STYLES
from worker.styles.house import house_style
from worker.values.parameter import Parameter
from worker.values.rows import Rows

Definition = dict[str, Any]
DEFINED = Draft202012Validator(object_schema(KEPT))


def _bounds(draw: st.DrawFn, parameter: Parameter) -> dict[str, Any]:
    if parameter.kind == "choice":
        return {"choices": draw(st.lists(st.sampled_from(parameter.choices), min_size=1, unique=True))}
    ends = sorted((draw(numbers(parameter)), draw(numbers(parameter))))
    told = dict(zip(("minimum", "maximum"), ends, strict=True))
    left_out = draw(st.sampled_from([None, None, None, "minimum", "maximum"]))
    return {name: value for name, value in told.items() if name != left_out}


def _inside(draw: st.DrawFn, parameter: Parameter, told: dict[str, Any]) -> Any:
    if parameter.kind == "choice":
        return draw(st.sampled_from(told["choices"]))
    ends = [told[name] for name in ("minimum", "maximum") if name in told]
    return draw(st.sampled_from(ends or [parameter.minimum]))


@st.composite
def definitions(draw: st.DrawFn) -> Definition:
    """Definitions that do not contradict their base: what is bounded has a default at one of its ends."""
    base = draw(st.sampled_from(sorted(STYLES)))
    declared = STYLES[base].parameters
    chosen = draw(st.lists(st.sampled_from(declared), unique_by=lambda each: each.name, max_size=6))
    body: Definition = {"base": base, "fixed": {}, "bounds": {}, "defaults": {}}
    for parameter in chosen:
        way = draw(st.sampled_from(["fixed", "bounds", "defaults"]))
        if way != "bounds":
            body[way][parameter.name] = draw(numbers(parameter))
        elif isinstance(parameter, Rows):
            member = draw(st.sampled_from(parameter.members))
            told = _bounds(draw, member)
            body["bounds"][parameter.name] = {member.name: told}
            rows = [{**row, member.name: _inside(draw, member, told)} for row in parameter.written()]
            body["defaults"][parameter.name] = rows
        else:
            body["bounds"][parameter.name] = told = _bounds(draw, parameter)
            body["defaults"][parameter.name] = _inside(draw, parameter, told)
    return body


@st.composite
def asked_of_it(draw: st.DrawFn) -> tuple[Definition, dict[str, Any]]:
    """A definition, and params: good values, near misses and nonsense by the base's ranges and by its own."""
    body = draw(definitions())
    definition, faults = read_definition(body)
    assert faults == [], (body, faults)
    style = house_style("drawn", definition)
    both = [*STYLES[style.built_in].parameters, *style.parameters]
    chosen = draw(st.lists(st.sampled_from(both), max_size=4))
    params = {parameter.name: draw(wild(parameter)) for parameter in chosen}
    if draw(st.integers(0, 9)) == 0:
        params[draw(st.sampled_from(["lenght", "", "base"]))] = 1
    return definition, params


def _faults(definition: Definition, params: Any) -> tuple[Fault, ...]:
    try:
        params_schema(house_style("drawn", definition)).load(params)
    except ValidationError as error:
        return tuple(faults_in(error.messages))
    return ()


def _in_text(params: Any, fault: Fault) -> bool:
    value = params
    for step in fault.pointer.split("/")[1:]:
        value = value[int(step)] if isinstance(value, list) else value.get(step) if isinstance(value, dict) else None
    return isinstance(value, str) and fault.code in ("out-of-range", "not-a-length")


@for_all(asked_of_it(), quick=30, proof=4000)
def test_they_accept_the_same(drawn: tuple[Definition, dict[str, Any]]) -> None:
    definition, params = drawn
    schema = house_style("drawn", definition).params_schema()
    Draft202012Validator.check_schema(schema)
    faults = _faults(definition, params)
    if Draft202012Validator(schema).is_valid(params):
        assert all(_in_text(params, fault) for fault in faults), (params, faults)
    else:
        assert faults, params


@for_all(asked_of_it(), quick=30, proof=4000)
def test_what_a_house_style_takes_its_base_takes(drawn: tuple[Definition, dict[str, Any]]) -> None:
    definition, params = drawn
    style = house_style("drawn", definition)
    base = STYLES[style.built_in]
    assert params_schema(base).load(style.defaults()) == style.defaults()
    if not _faults(definition, params):
        read = params_schema(style).load(params)
        whole = style.whole(read)
        assert params_schema(base).load(whole) == whole and list(whole) == list(base.defaults())
        assert {name: whole[name] for name in definition["fixed"]} == definition["fixed"]
        assert params_schema(style).load(read) == read, "a normal form is its own"


@for_all(definitions(), quick=30, proof=2000)
def test_a_definition_is_told_and_read_alike(body: Definition) -> None:
    assert DEFINED.is_valid(body)
    definition, faults = read_definition(body)
    assert faults == [] and read_definition(definition) == (definition, [])
    assert Draft202012Validator(object_schema(DEFINING)).is_valid(definition)


@for_all(definitions(), quick=10, proof=400)
def test_what_is_kept_can_be_asked_for_as_it_stands_and_told(body: Definition) -> None:
    try:
        kept = read_kept("drawn", body)
    except InfeasibleRequest as refused:
        places = {fault.pointer.split("/")[1] for fault in refused.faults}
        assert places <= {"base", "fixed", "bounds", "defaults"}
        return
    told = house_style("drawn", kept).describe()
    request = read_request({**told["example"], "house_style": defining(kept)})
    again = read_request(request.normal)
    assert again.normal == request.normal and again.id == request.id
    assert told["strands"][0]["name"] == request.bait.strands()[0].name
