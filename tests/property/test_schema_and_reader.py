"""What the JSON Schema of `params` accepts, the reader accepts, and the other way about.

Exceptions that a schema cannot say: values that cannot stand together, ranges and unknown units of lengths in text.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tests.property.drawn import WORMS, for_all, numbers
from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.request import read_request, request_schema
from worker.styles import STYLES
from worker.values.parameter import Parameter

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
    value = params.get(fault.pointer.removeprefix("/params/")) if isinstance(params, dict) else None
    return isinstance(value, str) and fault.code in ("out-of-range", "not-a-length")


def _texts(parameter: Parameter) -> st.SearchStrategy[str]:
    unit = st.sampled_from([" mm", "mm", " in", '"', "''", " cm", " furlongs", " zork", ""])
    return st.builds(lambda number, ending: f"{number:g}{ending}", numbers(parameter), unit)


def _wild(parameter: Parameter) -> st.SearchStrategy[Any]:
    """Good values, near misses and nonsense."""
    good = numbers(parameter)
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
    params = {parameter.name: draw(_wild(parameter)) for parameter in chosen}
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


@st.composite
def valid_params(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """Values within their ranges, as numbers and, for lengths, as text."""
    style = draw(st.sampled_from(WORMS))
    params = {}
    for parameter in STYLES[style].parameters:
        value = draw(numbers(parameter))
        if parameter.kind == "length" and draw(st.booleans()):
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
    assert not WHOLE.is_valid({"style": "no_such_worm"})
