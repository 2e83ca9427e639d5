"""`print`, `shot` and `sheet` of a request: read strictly, told by one schema, defaults written or not one bait."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator

from worker.errors import InvalidRequest
from worker.request import read_request, request_schema
from worker.request.composed import object_schema
from worker.request.fields import ParameterField
from worker.request.shop import PRINT, SHEET, SHOT
from worker.values.parameter import Parameter

SECTIONS = {"print": PRINT, "shot": SHOT, "sheet": SHEET}
NUMBERS = [
    (section, field.parameter)
    for section, schema in SECTIONS.items()
    for field in schema.fields.values()
    if isinstance(field, ParameterField) and field.parameter.kind != "choice"
]
# One of these at its end goes only with another: the wall colder than the release, the release than the pour.
BESIDE = {
    "pour_temperature_c": {"release_temperature_c": 40},
    "wall_temperature_c": {"release_temperature_c": 100, "pour_temperature_c": 200},
    "mould_temperature_c": {"release_temperature_c": 100, "pour_temperature_c": 200},
    "release_temperature_c": {"mould_temperature_c": 10},
    "viscosity_low_pa_s": {"viscosity_high_pa_s": 1000},
    "viscosity_high_pa_s": {"viscosity_low_pa_s": 0.01},
}
CLASHING = {"wall_temperature_c", "mould_temperature_c"}


def faults(section: str, members: dict[str, Any]) -> dict[str, Any]:
    """Code by pointer."""
    try:
        read_request({"style": "beaded_worm", section: members})
    except InvalidRequest as error:
        return {fault.pointer: (fault.code, fault.allowed) for fault in error.faults}
    return {}


@pytest.mark.parametrize(("section", "parameter"), NUMBERS, ids=lambda each: getattr(each, "name", each))
def test_reader_and_schema_take_the_same(section: str, parameter: Parameter) -> None:
    validator = Draft202012Validator(object_schema(SECTIONS[section]))
    step = 1 if parameter.kind == "whole" else max(abs(parameter.minimum), 1.0) * 0.5
    for value, taken in (
        (parameter.minimum, True),
        (parameter.maximum, True),
        (parameter.minimum - step, False),
        (parameter.maximum + step, False),
        ("much", False),
        (None, False),
        (True, False),
    ):
        value = int(value) if parameter.kind == "whole" and isinstance(value, float) else value
        members = {**BESIDE.get(parameter.name, {}), parameter.name: value}
        at = faults(section, members).get(f"/{section}/{parameter.name}")
        if parameter.name in CLASHING and value == parameter.maximum:
            assert at is not None and at[0] == "not-in-order"  # hotter than any release
            continue
        assert (at is None) == taken, (value, at)
        text_length = parameter.kind == "length" and value == "much"
        assert validator.is_valid(members) == taken or text_length, value


@pytest.mark.parametrize(
    ("output", "members"), [("sheet", {"sheet": {}, "shot": {}}), ("master", {"print": {"bed": {"length": "220 mm"}}})]
)
def test_defaults_written_or_not_are_one_bait(output: str, members: dict[str, Any]) -> None:
    bare = read_request({"style": "beaded_worm", "outputs": [output]})
    assert bare.id == read_request({"style": "beaded_worm", "outputs": [output], **members}).id
    assert set(members) <= set(bare.normal)


def test_what_is_not_asked_for_is_not_in_the_normal_form() -> None:
    assert not {"print", "shot", "sheet"} & set(read_request({"style": "beaded_worm"}).normal)


def test_every_fault_at_once() -> None:
    body = {
        "style": "beaded_worm",
        "print": {"nozzle": 9, "bed": {"width": 1}, "inkk": 1},
        "shot": {"viscosity_low_pa_s": 9, "release_temperature_c": 100, "pour_temperature_c": 100, "colours": [{}, {}]},
        "sheet": {"title": "\u6f22", "recipe": [{"amount": "3"}], "paper": "foolscap"},
    }
    with pytest.raises(InvalidRequest) as caught:
        read_request(body)
    assert {fault.pointer: fault.code for fault in caught.value.faults} == {
        "/print/nozzle": "out-of-range",
        "/print/bed/width": "out-of-range",
        "/print/inkk": "unknown-member",
        "/shot/viscosity_high_pa_s": "not-in-order",
        "/shot/release_temperature_c": "not-in-order",
        "/shot/colours": "not-together",
        "/sheet/title": "no-such-letter",
        "/sheet/recipe/0/what": "missing",
        "/sheet/paper": "not-a-choice",
    }
    assert all(fault.allowed for fault in caught.value.faults if fault.code != "missing")


@pytest.mark.parametrize(
    "colours",
    [
        [{"share_pct": 60}, {"share_pct": 60}],
        [{"share_pct": 100}, {}],
        [{"share_pct": 30}, {"share_pct": 30}],
        [{}],
    ],
)
def test_shares_that_do_not_make_a_whole_are_refused(colours: list[dict[str, Any]]) -> None:
    assert "/shot/colours" in faults("shot", {"method": "laminate", "colours": colours})


def test_the_schema_of_a_request_tells_them() -> None:
    form = request_schema()["oneOf"][0]["properties"]
    assert {"print", "shot", "sheet"} <= set(form)
    assert "title" in form["sheet"]["properties"]
