"""Every fault of a request at once, each under its JSON pointer (RFC 6901), and no other exception."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.errors import InfeasibleRequest, InvalidRequest
from worker.request import read_request
from worker.request.faults import pointer
from worker.styles import STYLES


def faults(body: Any) -> dict[str, str]:
    """Pointer to code of every fault."""
    with pytest.raises(InvalidRequest) as raised:
        read_request(body)
    found = {fault.pointer: fault.code for fault in raised.value.faults}
    assert len(found) == len(raised.value.faults), "two faults at one place"
    assert all(fault.detail for fault in raised.value.faults)
    return found


def test_all_at_once() -> None:
    body = {
        "style": "jointed_worm",
        "parms": {},
        "label": "",
        "params": {
            "length": "9**9 in", "bead_diameter": None, "bead_count": 10_000, "core_diameter": "5 kg", "lenght": 5,
            "segment": "cube", "taper": True, "joint_blend": "5 in", "bead_length_ratio": "1",
        },
        "plastic": {"grade": "rubber", "salt_wt_pct": 46, "hardness": 5},
        "finish": {"colour": "reddish", "glitter": {"size_mm": 0, "colour": 7, "shape": "star"}},
        "require": {"joint_pull_n": -1},
        "checks": {"overlap": {"limit": 2, "silence": "yes"}, "beauty": {}, "single_piece": {"limit": 1}},
        "tolerance_mm": 0,
        "outputs": ["stl", "dxf", 5],
    }  # fmt: skip
    assert faults(body) == {
        "/parms": "unknown-member",
        "/label": "not-a-text",
        "/params/length": "not-a-length",
        "/params/bead_diameter": "null",
        "/params/bead_count": "out-of-range",
        "/params/core_diameter": "not-a-length",
        "/params/lenght": "unknown-member",
        "/params/segment": "not-a-choice",
        "/params/taper": "not-a-number",
        "/params/joint_blend": "out-of-range",
        "/params/bead_length_ratio": "not-a-number",
        "/plastic/grade": "not-a-choice",
        "/plastic/salt_wt_pct": "out-of-range",
        "/plastic/hardness": "unknown-member",
        "/finish/colour": "not-a-colour",
        "/finish/glitter/size_mm": "out-of-range",
        "/finish/glitter/colour": "not-a-colour",
        "/finish/glitter/shape": "unknown-member",
        "/require/joint_pull_n": "out-of-range",
        "/checks/overlap/limit": "out-of-range",
        "/checks/overlap/silence": "not-a-flag",
        "/checks/beauty": "unknown-member",
        "/checks/single_piece/limit": "unknown-member",
        "/tolerance_mm": "out-of-range",
        "/outputs/1": "not-a-choice",
        "/outputs/2": "not-a-choice",
    }


@pytest.mark.parametrize(("body", "place", "code"), [
    (None, "", "not-an-object"),
    ([], "", "not-an-object"),
    ("worm", "", "not-an-object"),
    (5, "", "not-an-object"),
    ({}, "/style", "missing"),
    ({"style": None}, "/style", "null"),
    ({"style": 5}, "/style", "not-a-choice"),
    ({"style": "Beaded_Worm"}, "/style", "not-a-choice"),
    ({"style": "beaded_worm", "params": None}, "/params", "null"),
    ({"style": "beaded_worm", "params": []}, "/params", "not-an-object"),
    ({"style": "beaded_worm", "params": "x"}, "/params", "not-an-object"),
    ({"style": "beaded_worm", "params": {"core_diameter": 5}}, "/params/core_diameter", "unknown-member"),
    ({"style": "beaded_worm", "params": {"a/b~c": 5}}, "/params/a~1b~0c", "unknown-member"),
    ({"style": "beaded_worm", "plastic": None}, "/plastic", "null"),
    ({"style": "beaded_worm", "plastic": "soft"}, "/plastic", "not-an-object"),
    ({"style": "beaded_worm", "outputs": "stl"}, "/outputs", "not-a-list"),
    ({"style": "beaded_worm", "outputs": None}, "/outputs", "null"),
    ({"style": "beaded_worm", "outputs": ["stl"] * 65}, "/outputs", "not-a-list"),
    ({"style": "beaded_worm", "label": "a\nb"}, "/label", "not-a-text"),
    ({"style": "beaded_worm", "label": "x" * 81}, "/label", "not-a-text"),
    ({"style": "beaded_worm", "label": 5}, "/label", "not-a-text"),
    ({"style": "beaded_worm", "params": {"bead_count": 16.5}}, "/params/bead_count", "not-whole"),
    ({"style": "beaded_worm", "params": {"bead_count": True}}, "/params/bead_count", "not-a-number"),
    ({"style": "beaded_worm", "params": {"bead_diameter": 3.99999}}, "/params/bead_diameter", "out-of-range"),
    ({"style": "beaded_worm", "params": {"bead_diameter": "20.00001 mm"}}, "/params/bead_diameter", "out-of-range"),
])  # fmt: skip
def test_one_by_one(body: Any, place: str, code: str) -> None:
    found = faults(body)
    assert found.get(place) == code, found


def test_what_is_allowed_stands_beside_a_fault() -> None:
    with pytest.raises(InvalidRequest) as raised:
        read_request({"style": "beaded_worm", "params": {"length": 5}, "outputs": ["dxf"], "tail": 1})
    allowed = {fault.pointer: fault.allowed for fault in raised.value.faults}
    assert allowed["/params/length"] == {"minimum": 50.0, "maximum": 300.0, "unit": "mm"}
    outputs = allowed["/outputs/0"]
    assert isinstance(outputs, dict) and "stl" in outputs["choices"]
    members = allowed["/tail"]
    assert isinstance(members, dict) and "params" in members["members"]


@pytest.mark.parametrize(("body", "place", "allowed"), [
    ({}, "/style", {"choices": list(STYLES)}),
    ({"style": "beaded_worm", "picture": {"sizes": [{"width": 100}]}}, "/picture/sizes/0/height",
     {"minimum": 16, "maximum": 1200, "unit": "px", "whole": True}),
    ({"style": "beaded_worm", "finish": "olive"}, "/finish",
     {"members": ["colour", "fluorescent", "glitter", "translucency"]}),
    ({"style": "beaded_worm", "rig": {"weights": [7]}}, "/rig/weights/0",
     {"members": ["mass_g", "material", "station"]}),
    ({"strands": [{}]}, "/strands/0/path", {"members": ["curve", "length", "points"]}),
    ({"strands": [{}]}, "/strands/0/name", {"maxLength": 40}),
])  # fmt: skip
def test_what_is_missing_or_no_object_is_told_what_goes_there(body: Any, place: str, allowed: Any) -> None:
    with pytest.raises(InvalidRequest) as raised:
        read_request(body)
    assert {fault.pointer: fault.allowed for fault in raised.value.faults}[place] == allowed


@pytest.mark.parametrize(("label", "said"), [
    ("4\u00a0in", "; U+00A0 NO-BREAK SPACE is none that is printed"),  # names: the Unicode character database
    ("worm\u202e", "; U+202E RIGHT-TO-LEFT OVERRIDE is none that is printed"),
    ("a\tb", "; U+0009 is none that is printed"),
    ("\ue000", "; U+E000 is none that is printed"),
    ("", ""),
    ("x" * 81, ""),
    (5, ""),
])  # fmt: skip
def test_a_text_that_is_refused_is_told_for_which_character(label: object, said: str) -> None:
    with pytest.raises(InvalidRequest) as raised:
        read_request({"style": "beaded_worm", "label": label})
    assert raised.value.faults[0].detail == f"This is one line of 1 to 80 characters{said}."


@pytest.mark.parametrize("label", [
    "Worm \U0001f468\u200d\U0001f469\u200d\U0001f467",  # a family: three emoji and two joiners (Unicode TR 51, 2.3)
    "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645",  # Persian, spelt with a zero-width non-joiner
    'R\u00e9d "worm" \U0001f3a3 <b>& \u05e9\u05dc\u05d5\u05dd',
])  # fmt: skip
def test_a_label_is_what_people_write(label: str) -> None:
    assert read_request({"style": "beaded_worm", "label": label}).label == label


@pytest.mark.parametrize(("length", "said"), [
    ("45 cm", "'45 cm', which is 450 mm, is outside"),  # for 45 mm
    ("6 ft", "'6 ft', which is 1828.8 mm, is outside"),  # NIST SP 811, B.8: 1 ft = 304.8 mm
    ("301 mm", "'301 mm' is outside"),
    (4.5, "4.5 is outside"),
])  # fmt: skip
def test_a_length_in_another_unit_is_told_in_millimetres_too(length: object, said: str) -> None:
    with pytest.raises(InvalidRequest) as raised:
        read_request({"style": "beaded_worm", "params": {"length": length}})
    assert raised.value.faults[0].detail == f"length is from 50 to 300 mm; {said}."


@pytest.mark.parametrize(("params", "place", "code"), [
    ({"bead_diameter": 6, "core_diameter": 5.8}, "/params/core_diameter", "core-too-thick"),
    ({"bead_diameter": 6, "core_diameter": 4, "core_height_ratio": 1.9}, "/params/core_height_ratio", "core-too-high"),
    ({"length": 60, "bead_diameter": 9, "bead_count": 200}, "/params/bead_count", "beads-too-close"),
    ({"length": 50, "bead_diameter": 20, "bead_length_ratio": 2, "core_diameter": 5, "bead_count": 9},
     "/params/bead_diameter", "beads-too-long"),
])  # fmt: skip
def test_values_that_cannot_stand_together(params: dict[str, Any], place: str, code: str) -> None:
    with pytest.raises(InfeasibleRequest) as raised:
        read_request({"style": "jointed_worm", "params": params})
    assert (raised.value.faults[0].pointer, raised.value.faults[0].code) == (place, code)
    allowed = raised.value.faults[0].allowed
    assert isinstance(allowed, dict) and allowed


def test_what_an_infeasible_request_is_told_is_allowed_is_allowed() -> None:
    for params in ({"bead_diameter": 6, "core_diameter": 5.8}, {"length": 60, "bead_diameter": 9, "bead_count": 200}):
        with pytest.raises(InfeasibleRequest) as raised:
            read_request({"style": "jointed_worm", "params": {"core_diameter": 4, **params}})
        (fault,) = raised.value.faults
        assert isinstance(fault.allowed, dict)
        name = fault.pointer.removeprefix("/params/")
        mended = {"core_diameter": 4, **params, name: fault.allowed["maximum"]}
        assert read_request({"style": "jointed_worm", "params": mended}).params[name] == fault.allowed["maximum"]


def test_pointers_are_escaped() -> None:
    """RFC 6901, section 3: ~ is ~0 and / is ~1."""
    assert pointer("a/b", "m~n", 0, "") == "/a~1b/m~0n/0/"
    assert pointer() == ""


_ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda below: st.lists(below, max_size=3) | st.dictionaries(st.text(max_size=6), below, max_size=3),
    max_leaves=6,
)
MEMBERS = [
    "style", "params", "label", "plastic", "finish", "require", "checks", "tolerance_mm", "outputs",
]  # fmt: skip


@settings(max_examples=300, derandomize=True, database=None, deadline=None)
@given(st.dictionaries(st.sampled_from(MEMBERS), _ANY, max_size=5), st.booleans())
def test_nonsense_is_refused_and_never_crashes(body: dict[str, Any], styled: bool) -> None:
    if styled:
        body = {**body, "style": "beaded_worm"}
    try:
        read_request(body)
    except InvalidRequest as error:
        assert error.faults
    except InfeasibleRequest as error:
        assert error.faults
