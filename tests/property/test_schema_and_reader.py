"""What the JSON Schema of `params` accepts, the reader accepts, and the other way about.

Exceptions that a schema cannot say: values that cannot stand together, ranges and unknown units of lengths in text.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from marshmallow import ValidationError

from tests.property.drawn import WORMS, for_all, numbers
from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.request import read_request, request_schema
from worker.request.composed import field_of, schema
from worker.request.faults import faults_in
from worker.styles import STYLES
from worker.values.parameter import Parameter
from worker.values.rows import Rows

VALIDATORS = {name: Draft202012Validator(STYLES[name].params_schema()) for name in WORMS}
WHOLE = Draft202012Validator(request_schema())


def _faults(style: str, params: Any) -> tuple[Fault, ...]:
    try:
        read_request({"style": style, "params": params})
    except InvalidRequest as error:
        return error.faults
    except InfeasibleRequest:
        pass
    return ()


def _in_text(params: Any, fault: Fault) -> bool:
    value = _at(params, fault.pointer.removeprefix("/params/").split("/"))
    return isinstance(value, str) and fault.code in ("out-of-range", "not-a-length")


def _at(value: Any, steps: list[str]) -> Any:
    for step in steps:
        value = value.get(step) if isinstance(value, dict) else value[int(step)] if isinstance(value, list) else None
    return value


def _texts(parameter: Parameter) -> st.SearchStrategy[str]:
    unit = st.sampled_from([" mm", "mm", " in", '"', "''", " cm", " furlongs", " zork", ""])
    return st.builds(lambda number, ending: f"{number:g}{ending}", numbers(parameter), unit)


def wild(parameter: Parameter | Rows) -> st.SearchStrategy[Any]:
    """Good values, near misses and nonsense."""
    good = numbers(parameter)
    if isinstance(parameter, Rows):
        row = st.fixed_dictionaries({}, optional={member.name: wild(member) for member in parameter.members})
        odd: st.SearchStrategy[Any] = st.sampled_from([None, [], {}, "", 5, {"lenght": 1}, [{}], [[]]])
        return st.one_of(good, st.lists(row, max_size=parameter.most + 2), st.lists(st.one_of(row, odd)), odd)
    if parameter.kind == "choice":
        beside: list[st.SearchStrategy[Any]] = [st.sampled_from(["Ball", "", "balls", 1, True])]
    else:
        ends = st.sampled_from([parameter.minimum, parameter.maximum])
        near = st.builds(lambda end, way: end + way, ends, st.sampled_from([-1, -0.01, 0, 0.01, 1, -1e-4, 1e-4]))
        beside = [near, good.map(float), st.sampled_from([True, False, -1, 0, 1e9, 2.5]), st.integers(-5, 400)]
    nonsense = st.sampled_from([None, [], {}, "", "five", "9**9 in", "5", "1e3 mm", "\u221e mm", [1], {"mm": 5}])
    text = _texts(parameter) if parameter.kind == "length" else good.map(str) if parameter.kind != "choice" else good
    return st.one_of(good, good, *beside, text, nonsense)


@st.composite
def wild_params(draw: st.DrawFn) -> tuple[str, Any]:
    """Params of a style, sometimes with members that it does not have, sometimes no object at all."""
    style = draw(st.sampled_from(WORMS))
    if draw(st.integers(0, 30)) == 0:
        return style, draw(st.sampled_from([None, [], "", 5, True]))
    declared = STYLES[style].parameters
    chosen = draw(st.lists(st.sampled_from(declared), unique_by=lambda parameter: parameter.name, max_size=4))
    params = {parameter.name: draw(wild(parameter)) for parameter in chosen}
    if draw(st.integers(0, 9)) == 0:
        params[draw(st.sampled_from(["lenght", "", "style", "bead_Diameter"]))] = 1
    return style, params


@for_all(wild_params(), quick=150, proof=5000)
def test_they_accept_the_same(drawn: tuple[str, Any]) -> None:
    style, params = drawn
    faults = _faults(style, params)
    if VALIDATORS[style].is_valid(params):
        assert all(_in_text(params, fault) for fault in faults), (params, faults)
    else:
        assert faults, params


LEGS = Rows(
    "groups",
    "Groups",
    "Legs, group by group.",
    (
        Parameter("kind", "choice", "Kind", "What it is.", default="leg", choices=("leg", "feeler")),
        Parameter("pairs", "whole", "Pairs", "How many.", default=2, minimum=1, maximum=5),
        Parameter("root", "length", "Root", "How thick.", default=2.0, minimum=1.0, maximum=4.0, unit="mm"),
        Parameter("sweep", "number", "Sweep", "How far back.", default=45.0, minimum=-10.0, maximum=90.0),
    ),
    most=4,
    fewest=1,
    default=({"pairs": 3},),
)
WITH_ROWS = schema(groups=field_of(LEGS))
ROWS_VALIDATOR = Draft202012Validator({"type": "object", "properties": {"groups": LEGS.json_schema()}})


def _rows_faults(params: Any) -> tuple[Fault, ...]:
    try:
        WITH_ROWS.load(params)
    except ValidationError as error:
        return tuple(faults_in(error.messages, "params"))
    return ()


@for_all(wild(LEGS), quick=80, proof=3000)
def test_lists_of_objects_are_told_and_read_alike(groups: Any) -> None:
    params = {"groups": groups}
    faults = _rows_faults(params)
    if ROWS_VALIDATOR.is_valid(params):
        assert all(_in_text(params, fault) for fault in faults), (params, faults)
    else:
        wrong = ["/params/" + "/".join(map(str, error.path)) for error in ROWS_VALIDATOR.iter_errors(params)]
        found = [fault.pointer for fault in faults]
        # Rows too many are one fault; a member that there is not stands at its own place, a schema says at its row's.
        assert all(any(f"{at}/".startswith(f"{one}/") or one.startswith(f"{at}/") for one in found) for at in wrong)


def test_each_fault_in_a_row_has_its_own_pointer_and_allowed_range() -> None:
    faults = _rows_faults({"groups": [{"root": 9}, {"kind": "arm", "pairs": 2.5}, {"rot": 1}, None]})
    assert {fault.pointer: fault.code for fault in faults} == {
        "/params/groups/0/root": "out-of-range",
        "/params/groups/1/kind": "not-a-choice",
        "/params/groups/1/pairs": "not-whole",
        "/params/groups/2/rot": "unknown-member",
        "/params/groups/3": "null",
    }
    assert faults[0].allowed == {"minimum": 1.0, "maximum": 4.0, "unit": "mm"}
    assert [fault.allowed for fault in _rows_faults({"groups": [{}] * 5})] == [LEGS.allowed()]


def test_rows_in_normal_form_have_every_member_written() -> None:
    row = {"kind": "leg", "pairs": 3, "root": 2.0, "sweep": 45.0}
    assert WITH_ROWS.load({}) == {"groups": [row]} == {"groups": LEGS.parse([{"pairs": 3}])}
    assert WITH_ROWS.load({"groups": [{"root": "1/8 in", "pairs": 3.0}]}) == {"groups": [{**row, "root": 3.175}]}


@st.composite
def valid_params(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Values within their ranges, as numbers and, for lengths, as text."""
    style = draw(st.sampled_from(WORMS))
    params = {}
    for parameter in STYLES[style].parameters:
        value = draw(numbers(parameter))
        if isinstance(parameter, Parameter) and parameter.kind == "length" and draw(st.booleans()):
            value = f"{value} mm" if "e" not in str(value) else value
        params[parameter.name] = value
    return style, params


@for_all(valid_params(), quick=60, proof=2000)
def test_both_accept_what_lies_in_range(drawn: tuple[str, dict[str, Any]]) -> None:
    style, params = drawn
    assert VALIDATORS[style].is_valid(params)
    assert _faults(style, params) == ()


@pytest.mark.parametrize("taper", [1.0000001, 0.39999999])
def test_both_refuse_what_lies_a_hair_out_of_range(taper: float) -> None:
    assert not VALIDATORS["beaded_worm"].is_valid({"taper": taper})
    assert [fault.code for fault in _faults("beaded_worm", {"taper": taper})] == ["out-of-range"]


@for_all(wild_params(), quick=60, proof=2000)
def test_each_fault_has_a_pointer_to_where_it_is(drawn: tuple[str, Any]) -> None:
    """One fault a wrong member, at its own pointer: the schema's own errors stand at the same places."""
    style, params = drawn
    wrong = {"/".join(map(str, error.path)) for error in VALIDATORS[style].iter_errors(params) if error.path}
    places = {fault.pointer.removeprefix("/params/") for fault in _faults(style, params)}
    assert wrong <= places


@pytest.mark.parametrize("style", sorted(STYLES))
def test_the_schemas_are_schemas_and_their_examples_fit(style: str) -> None:
    Draft202012Validator.check_schema(STYLES[style].params_schema())
    assert WHOLE.is_valid(dict(STYLES[style].example))
    assert WHOLE.is_valid({"style": style})
    assert not WHOLE.is_valid({"style": style, "parms": {}})
    assert Draft202012Validator(STYLES[style].params_schema()).is_valid(STYLES[style].defaults())


def test_the_schema_of_a_request_is_one() -> None:
    Draft202012Validator.check_schema(request_schema())
    assert not WHOLE.is_valid({"params": {}})
    assert WHOLE.is_valid({"style": "no_such_worm"}), "a caller may keep a house style by any name"
    assert not WHOLE.is_valid({"style": "No such worm"})
