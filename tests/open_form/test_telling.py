"""The strands that a style shows are the open form's own: copied and sent, they are the same bait."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema import Draft202012Validator

from tests.open_form.bodies import solid_of
from worker.estimate import estimate
from worker.request import Request, read_request, request_schema
from worker.styles import STYLES

SCHEMA = Draft202012Validator(request_schema())


def _both(style: str, **members: Any) -> tuple[Request, Request]:
    """The style's example, and what it is shown to become."""
    shown = STYLES[style].describe()
    body = {"strands": shown["strands"], "hollows": shown["hollows"], "plastic": {"grade": "medium"}, **members}
    assert SCHEMA.is_valid(body)
    example = {**STYLES[style].example, "plastic": {"grade": "medium"}, **members}
    example.pop("label", None)
    return read_request(example), read_request(body)


@pytest.mark.parametrize("style", sorted(name for name in STYLES if not STYLES[name].describe()["untold"]))
def test_what_a_style_shows_can_be_sent_and_is_the_same_solid(style: str) -> None:
    styled, told = _both(style, tolerance_mm=0.1, outputs=["stl"])
    assert styled.id != told.id
    assert len(told.bait.strands()) == len(styled.bait.strands())
    one, two = solid_of(styled), solid_of(told)
    assert two.volume == pytest.approx(one.volume, rel=1e-3)
    assert two.extent == pytest.approx(one.extent, abs=0.01)
    assert len(two.parts) == len(one.parts)
    # Joints stand strand by strand, and the open form has its own order of strands. What hollows leave standing is a
    # joint only of a style, which knows its section in closed form.
    first, second = (
        sorted(
            (joint["limit_n"], joint["area_mm2"])
            for joint in estimate(request)["metrics"]["joints"]
            if joint["kind"] != "ligament"
        )
        for request in (styled, told)
    )
    assert len(first) == len(second)
    for here, there in zip(first, second, strict=True):
        assert there == pytest.approx(here, rel=2e-3)


@pytest.mark.parametrize("style", sorted(STYLES))
def test_what_the_open_form_cannot_say_is_said(style: str) -> None:
    shown = STYLES[style].describe()
    for sentence in shown["untold"]:
        assert sentence.endswith(".")
    names = [strand["name"] for strand in shown["strands"]]
    assert len(names) == len(set(names))
    assert all(strand.get("parent", names[0]) in names for strand in shown["strands"])


def test_a_craw_s_limbs_are_told_once_and_stand_on_both_lobes() -> None:
    shown = {strand["name"]: strand for strand in STYLES["craw"].describe()["strands"]}
    assert shown["lobe"]["both_sides"] and "both_sides" not in shown["claw"]
    assert shown["claw"]["parent"] == "lobe" and shown["claw outer finger"]["parent"] == "claw"
    assert shown["fan blade"]["both_sides"] and shown["fan blade"]["parent"] == "core"
