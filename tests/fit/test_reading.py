"""What a fit's request may be, what is wrong with it, all at once, and who it is."""

from __future__ import annotations

from typing import Any

import jsonschema
import pytest

from worker.errors import InfeasibleRequest, InvalidRequest
from worker.fit import FitRequest, budget, fit_request, fit_request_schema, is_small
from worker.fit.axes import PLASTIC
from worker.fit.effort import MOST_MS
from worker.request import read_request
from worker.styles import STYLES
from worker.values.rows import Rows

WORM: dict[str, Any] = {"style": "beaded_worm", "free": {"bead_count": {"minimum": 12, "maximum": 20}}}


def faults_of(body: object) -> dict[str, tuple[str, Any]]:
    """By pointer, the code and what is allowed."""
    with pytest.raises(InvalidRequest) as raised:
        fit_request(body)
    return {fault.pointer: (fault.code, fault.allowed) for fault in raised.value.faults}


def test_every_fault_is_told_at_once_with_what_is_allowed() -> None:
    found = faults_of(
        {
            "style": "craw",
            "params": {"length": 1, "body_width": 14},
            "free": {"body_width": {"minimum": 1}, "claws": {"choices": ["tentacle"]}, "leg_pairs": {"step": 0}},
            "require": {"mass_g": {}, "neck_mm": {"at_least": 3, "at_most": 2}, "hook_hold_n": {"at_least": 3}},
            "goal": {"least": "beauty"},
            "front": 3,
        }
    )
    assert {pointer: code for pointer, (code, _) in found.items()} == {
        "/params/length": "out-of-range",
        "/params/body_width": "fixed-and-free",
        "/free/body_width/minimum": "out-of-range",
        "/free/claws/choices/0": "not-a-choice",
        "/free/leg_pairs/step": "out-of-range",
        "/require/mass_g": "no-bound",
        "/require/neck_mm/at_least": "not-in-order",
        "/require/hook_hold_n": "needs-a-rig",
        "/goal/least": "not-a-choice",
        "/front": "not-a-flag",
    }
    assert found["/params/length"][1] == {"minimum": 45.0, "maximum": 140.0, "unit": "mm"}
    assert found["/require/neck_mm/at_least"][1] == {"maximum": 2.0}


@pytest.mark.parametrize(
    ("body", "pointer", "code"),
    [
        ([], "", "not-an-object"),
        ({}, "/style", "missing"),
        ({}, "/free", "not-so-many"),
        ({"style": "beaded_worm", "free": {}}, "/free", "not-so-many"),
        ({"style": "beaded_worm", "free": 3}, "/free", "not-an-object"),
        ({"style": "creature", "free": {"groups": {}}}, "/free/groups", "unknown-member"),
        (WORM | {"free": {"bead_count": {"minimum": 9, "maximum": 8}}}, "/free/bead_count/minimum", "not-in-order"),
        (WORM | {"free": {"bead_count": None}}, "/free/bead_count", "null"),
        (WORM | {"free": {"bead_count": {"choices": ["a"]}}}, "/free/bead_count/choices", "unknown-member"),
        (WORM | {"start": {"length": "5 ells"}}, "/start/length", "not-a-length"),
        (WORM | {"goal": {"nearest": {"bead_count": 1}}}, "/goal/nearest/bead_count", "out-of-range"),
        (WORM | {"goal": "most_beautiful"}, "/goal", "not-a-goal"),
        (WORM | {"require": {"verdicts": "fine"}}, "/require/verdicts", "not-a-choice"),
        (WORM | {"require": {"fresh_water_behaviour": {"equal": "flies"}}}, "/require/fresh_water_behaviour/equal", ""),
        (WORM | {"require": {"mass_g": {"equal": 3, "at_least": 2}}}, "/require/mass_g", "one-or-the-other"),
        (WORM | {"require": {"mass_g": {"at_least": 3, "within": 2}}}, "/require/mass_g/within", "no-equal"),
        (WORM | {"require": {"lobes_touching": {"from": 0, "to": 1}}}, "/require/lobes_touching", "no-such-figure"),
        (WORM | {"plastic": {"salt_wt_pct": 5}, "free": {"salt_wt_pct": {}}}, "/plastic/salt_wt_pct", "fixed-and-free"),
        (WORM | {"evaluations": 5}, "/evaluations", "out-of-range"),
        (WORM | {"strands": []}, "/strands", "unknown-member"),
        ({"maker": {"fish": "whale"}}, "/maker/fish", "not-a-choice"),
        ({"maker": {}}, "/maker/fish", "missing"),
        ({"maker": {"fish": "bass"}, "style": "bend_rod"}, "/style", "no-bait"),
    ],
)
def test_a_fault(body: object, pointer: str, code: str) -> None:
    found = faults_of(body)
    assert pointer in found
    assert found[pointer][0] == (code or "not-a-choice")


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (None, [("", "not-an-object")]),
        ([], [("", "not-an-object")]),
        ("x", [("", "not-an-object")]),
        (WORM | {"free": None}, [("/free", "null")]),
        (WORM | {"params": None}, [("/params", "null")]),
        (WORM | {"start": None}, [("/start", "null")]),
        (WORM | {"goal": None}, [("/goal", "null")]),
        (WORM | {"goal": {"nearest": None}}, [("/goal/nearest", "not-an-object")]),
        (WORM | {"params": {"bead_count": None}}, [("/params/bead_count", "fixed-and-free")]),
        ({"maker": {"fish": "bass"}, "free": None}, [("/free", "null")]),
        ({"maker": None}, [("/maker", "null")]),
        (WORM | {"plastic": None, "free": {"salt_wt_pct": {}}}, [("/plastic", "null")]),
        (WORM | {"plastic": {"salt_wt_pct": None}, "free": {"salt_wt_pct": {}}}, [("/plastic/salt_wt_pct", "null")]),
        (WORM | {"free": []}, [("/free", "not-an-object")]),
        # what the rules would have freed is not missed beside the word that they could not read
        ({"maker": {"fish": "bas"}, "style": "jointed_worm"}, [("/maker/fish", "not-a-choice")]),
        ({"maker": {"fish": "bass"}, "style": "bend_rod"}, [("/style", "no-bait")]),
        (
            {"maker": {"fish": "bas"}, "style": "jointed_worm", "free": {}},
            [("/free", "not-so-many"), ("/maker/fish", "not-a-choice")],
        ),
        (WORM | {"free": {"bead_count": None}, "params": None}, [("/free/bead_count", "null"), ("/params", "null")]),
    ],
)
def test_no_fault_is_told_twice(body: object, told: list[tuple[str, str]]) -> None:
    with pytest.raises(InvalidRequest) as raised:
        fit_request(body)
    assert sorted((fault.pointer, fault.code) for fault in raised.value.faults) == told


def test_more_than_eight_are_not_free() -> None:
    many = [p.name for p in STYLES["craw"].parameters][:9]
    assert faults_of({"style": "craw", "free": {name: {} for name in many}})["/free"][1] == {
        "minProperties": 1,
        "maxProperties": 8,
    }


def test_too_much_work_is_refused_before_any_and_what_would_do_is_said() -> None:
    body = {"style": "shrimp", "free": {"length": {}}, "goal": "least_mass", "evaluations": 6000}
    with pytest.raises(InfeasibleRequest) as raised:
        fit_request(body)
    (fault,) = raised.value.faults
    assert (fault.pointer, fault.code) == ("/evaluations", "too-much-work")
    assert isinstance(fault.allowed, dict)
    fit_request(body | {"evaluations": fault.allowed["maximum"]})


def test_what_is_not_asked_for_is_never_too_much() -> None:
    many = [p.name for p in STYLES["shrimp"].parameters if not isinstance(p, Rows)][:8]
    request = fit_request({"style": "shrimp", "free": {name: {} for name in many}, "goal": "least_mass"})
    assert budget(request)[1] <= MOST_MS


def test_equal_fits_are_one_however_they_are_written() -> None:
    plain = fit_request(WORM | {"require": {"length_mm": {"at_most": "4-3/4 in"}}, "goal": "least_mass"})
    other = fit_request(
        {
            "goal": {"least": "mass_g"},
            "params": {"length": "5 in", "joint_blend": 0.8},
            "plastic": {"grade": "soft"},
            "require": {"verdicts": "pass", "length_mm": {"at_most": 120.65}},
            "free": {"bead_count": {"maximum": 20.0, "minimum": 12, "step": 1}},
            "style": "beaded_worm",
            "label": "another name",
            "front": False,
            "checks": {"overlap": {"limit": 0.12}},
        }
    )
    assert plain.id == other.id
    assert other.label == "another name"
    assert "label" not in other.normal
    assert fit_request(WORM | {"goal": "least_plastic"}).id != plain.id


def test_a_normal_form_read_again_is_itself() -> None:
    request = fit_request(WORM | {"front": True, "require": {"mass_g": {"equal": 7}}, "goal": "nearest"})
    assert fit_request(request.normal).normal == request.normal
    assert FitRequest.from_normal(request.normal).id == request.id


def test_where_it_starts_is_inside_of_what_is_free() -> None:
    request = fit_request(WORM | {"free": {"bead_count": {"minimum": 20, "maximum": 30}}, "params": {}})
    assert request.normal["start"] == {"bead_count": 20}
    assert read_request(request.bait({"bead_count": 22}).normal).params["bead_count"] == 22


def test_the_json_schema_takes_what_is_taken_and_names_every_member() -> None:
    schema = jsonschema.Draft202012Validator(fit_request_schema())
    schema.check_schema(fit_request_schema())
    for body in (
        WORM,
        WORM | {"front": True, "require": {"mass_g": {"equal": 7}}},
        {"maker": {"fish": "bass"}},
        WORM | {"goal": {"nearest": {"bead_count": 12}}},
    ):
        schema.validate(body)
        fit_request(body)
    assert list(schema.iter_errors({"style": "beaded_worm"}))
    assert list(schema.iter_errors(WORM | {"goal": {"least": "beauty"}}))


def test_no_style_has_a_parameter_named_as_the_plastics_are() -> None:
    for style in STYLES.values():
        assert not {parameter.name for parameter in style.parameters} & set(PLASTIC)


def test_a_budget_grows_with_what_is_asked() -> None:
    small, large = fit_request(WORM | {"evaluations": 20}), fit_request(WORM | {"evaluations": 2000})
    assert budget(small)[0] == 20
    assert budget(large)[1] > 50 * budget(small)[1]
    assert is_small(small)
    assert not is_small(large)
    heavy = fit_request(WORM | {"evaluations": 20, "goal": "least_mass"})
    assert budget(heavy)[1] > budget(small)[1]
