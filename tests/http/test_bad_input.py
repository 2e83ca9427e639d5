"""Bad input by table: one problem document each, never a 5xx, never a job."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem


def worm(**members: Any) -> str:
    return json.dumps({"style": "beaded_worm", **members})


def params(**values: Any) -> str:
    return worm(params=values)


MALFORMED: dict[str, str | bytes] = {
    "nothing": "",
    "blanks": "   ",
    "cut short": '{"style": "beaded_worm"',
    "trailing comma": '{"style": "beaded_worm",}',
    "single quotes": "{'style': 'beaded_worm'}",
    "a comment": '{"style": "beaded_worm"} // worm',
    "two values": '{"style": "beaded_worm"} {}',
    "NaN": '{"style": "beaded_worm", "params": {"length": NaN}}',
    "Infinity": '{"style": "beaded_worm", "params": {"length": Infinity}}',
    "1e400": '{"style": "beaded_worm", "params": {"length": 1e400}}',
    "a whole number of 5,000 digits": '{"style": "beaded_worm", "params": {"bead_count": ' + "9" * 5000 + "}}",
    # Once minutes of backtracking in a look at how deep a text is nested.
    "a text of brackets and quotes without an end": '"' + '[\\"' * 60_000,
    "duplicate members": '{"style": "beaded_worm", "style": "jointed_worm"}',
    "duplicates below": '{"style": "beaded_worm", "params": {"length": 100, "length": 120}}',
    "arrays 3,000 deep": "[" * 3000 + "]" * 3000,
    "objects 33 deep": '{"a":' * 33 + "1" + "}" * 33,
    "never closed, 200,000 deep": "[" * 200_000,
    "not UTF-8": b'{"style": "\xff\xfe"}',
    "UTF-16": '{"style": "beaded_worm"}'.encode("utf-16"),
    "a lone surrogate": '{"style": "beaded_worm", "label": "\\ud800"}',
    "a NUL": '{"style": "beaded_worm", "label": "a\\u0000b"}',
    "a byte order mark": b"\xef\xbb\xbf" + b'{"style": "beaded_worm"}',
}

# name: (body, pointers that must be among the errors)
INVALID: dict[str, tuple[str, set[str]]] = {
    "null": ("null", {""}),
    "a list": ("[]", {""}),
    "a text": ('"beaded_worm"', {""}),
    "a number": ("7", {""}),
    "an empty object": ("{}", {"/style"}),
    "an unknown style": ('{"style": "hair_worm"}', {"/style"}),
    "a style of the wrong type": ('{"style": ["beaded_worm"]}', {"/style"}),
    "an unknown member": (worm(colour="red"), {"/colour"}),
    "a member that needs escaping": (worm(**{"a/b~c": 1}), {"/a~1b~0c"}),
    "an unknown parameter": (params(lenght=100), {"/params/lenght"}),
    "a parameter of another style": (params(core_diameter=3), {"/params/core_diameter"}),
    "params is a list": (worm(params=[1]), {"/params"}),
    "params is null": (worm(params=None), {"/params"}),
    "a null value": (params(length=None), {"/params/length"}),
    "true for a number": (params(bead_count=True), {"/params/bead_count"}),
    "text for a count": (params(bead_count="12"), {"/params/bead_count"}),
    "a fraction for a count": (params(bead_count=12.5), {"/params/bead_count"}),
    "an object for a length": (params(length={"in": 5}), {"/params/length"}),
    "10,000 beads": (params(bead_count=10_000), {"/params/bead_count"}),
    "two beads": (params(bead_count=2), {"/params/bead_count"}),
    "a negative length": (params(length=-5), {"/params/length"}),
    "a length in kilometres of number": (params(length=1e300), {"/params/length"}),
    "a power": (params(length="9**9 in"), {"/params/length"}),
    "a sum": (params(length="4 in + 1 mm"), {"/params/length"}),
    "a product": (params(length="2 * 50 mm"), {"/params/length"}),
    "a unit of something else": (params(length="5 kg"), {"/params/length"}),
    "an unknown unit": (params(length="5 furlongs of yarn"), {"/params/length"}),
    "no number": (params(length="inch"), {"/params/length"}),
    "nothing by nothing": (params(length="1/0 in"), {"/params/length"}),
    "two maker's marks mixed": (params(length="5 '\u2032"), {"/params/length"}),
    "not a number for a unit": (params(length="5 nan"), {"/params/length"}),
    "not a number as text": (params(length="nan mm"), {"/params/length"}),
    "infinite as text": (params(length="inf mm"), {"/params/length"}),
    "an exponent as text": (params(length="1e400 mm"), {"/params/length"}),
    "other digits": (params(length="１２７ mm"), {"/params/length"}),
    "a code of Python": (params(length="__import__('os').system('true')"), {"/params/length"}),
    "100,000 characters for a length": (params(length="5" * 100_000), {"/params/length"}),
    "an unknown output": (worm(outputs=["stl", "dwg"]), {"/outputs/1"}),
    "outputs is a text": (worm(outputs="stl"), {"/outputs"}),
    "an unknown grade": (worm(plastic={"grade": "rubber"}), {"/plastic/grade"}),
    "too much salt": (worm(plastic={"salt_wt_pct": 46}), {"/plastic/salt_wt_pct"}),
    "a colour that is none": (worm(finish={"colour": "#12"}), {"/finish/colour"}),
    "a colour that is a function": (worm(finish={"colour": "url(http://a.example/)"}), {"/finish/colour"}),
    "a label of two lines": (worm(label="a\nb"), {"/label"}),
    "a label of 10,000 characters": (worm(label="a" * 10_000), {"/label"}),
    "every fault at once": (
        worm(params={"length": "long", "bead_count": 2, "x": 1}, plastic={"grade": 3}, y=2),
        {"/params/length", "/params/bead_count", "/params/x", "/plastic/grade", "/y"},
    ),
    "10,000 unknown members": (worm(**{f"m{n}": n for n in range(10_000)}), {""}),
    "50 unknown members": (worm(**{f"m{n}": n for n in range(50)}), {f"/m{n}" for n in range(50)}),
}

CONTRADICTORY: dict[str, str] = {
    "a core thicker than its beads": json.dumps(
        {"style": "jointed_worm", "params": {"bead_diameter": 5, "core_diameter": 6}}
    ),
}


@pytest.mark.parametrize("path", ["/v1/baits", "/v1/estimates"])
@pytest.mark.parametrize("name", list(MALFORMED))
def test_what_is_not_json_is_400(client: FlaskClient, baits: FakeBaits, path: str, name: str) -> None:
    response = client.post(path, data=MALFORMED[name], content_type="application/json")
    problem(response, 400, "malformed-request")
    assert baits.jobs == []


@pytest.mark.parametrize("path", ["/v1/baits", "/v1/estimates"])
@pytest.mark.parametrize("name", list(INVALID))
def test_what_is_not_allowed_is_422_and_named(client: FlaskClient, baits: FakeBaits, path: str, name: str) -> None:
    body, pointers = INVALID[name]
    response = client.post(path, data=body, content_type="application/json")
    document = problem(response, 422, "invalid-request")
    assert pointers <= {fault["pointer"] for fault in document["errors"]}
    assert baits.jobs == []


@pytest.mark.parametrize("path", ["/v1/baits", "/v1/estimates"])
@pytest.mark.parametrize("name", list(CONTRADICTORY))
def test_what_cannot_stand_together_is_infeasible(client: FlaskClient, baits: FakeBaits, path: str, name: str) -> None:
    response = client.post(path, data=CONTRADICTORY[name], content_type="application/json")
    document = problem(response, 422, "infeasible")
    assert document["errors"]
    assert baits.jobs == []


def test_a_refusal_is_not_many_times_as_long_as_what_it_refuses(client: FlaskClient) -> None:
    body = INVALID["10,000 unknown members"][0]
    response = client.post("/v1/baits", data=body, content_type="application/json")
    assert len(response.data) < len(body)
    assert response.json["errors"][0]["code"] == "too-many-members"


def test_300_kib_is_413(client: FlaskClient, baits: FakeBaits) -> None:
    response = client.post("/v1/baits", data=worm(label="a" * 300 * 1024), content_type="application/json")
    problem(response, 413, "request-too-large")
    assert baits.jobs == []


def test_an_output_that_does_not_exist_is_answered_with_those_that_do(client: FlaskClient) -> None:
    response = client.post("/v1/baits", data=worm(outputs=["dwg"]), content_type="application/json")
    (fault,) = problem(response, 422, "invalid-request")["errors"]
    assert "stl" in json.dumps(fault["allowed"])
