"""Baits that are dipped: what their form leaves, and what it does not."""

from __future__ import annotations

from typing import Any

from tests.mould.moulded import built, check, part

ENDS = [{"at": 0, "width": 14}, {"at": 1, "width": 14}]


def hollow(*hollows: dict[str, Any]) -> dict[str, Any]:
    """A round body 90 mm long with these hollows."""
    body = {"name": "body", "kind": "trunk", "path": {"length": 90}, "girth": ENDS}
    return {"strands": [body], "hollows": [{"strand": "body", **each} for each in hollows], "detail": "coarse"}


OPEN = {"kind": "inside", "from": 0.2, "to": 1.0, "wall": 2}
CLOSED = {"kind": "inside", "from": 0.2, "to": 0.8, "wall": 2}
BORE = {"kind": "bore", "diameter": 2, "length": 15}


def test_an_open_inside_alone_is_left_by_its_form() -> None:
    bait = built(hollow(OPEN), kind="dipped")
    assert check(bait, "core")["verdict"] == "pass"
    assert part(bait, "mould_core").bounds[1][0] > 90 / 0.98 + 29, "a shank 30 mm long"


def test_what_else_is_hollow_is_told_to_be_lost() -> None:
    answer = check(built(hollow(OPEN, BORE), kind="dipped"), "core")
    assert (answer["verdict"], answer["value"]) == ("fail", 1)
    assert "bore 2 is not left by dipping" in answer["text"]


def test_a_form_that_cannot_be_drawn_is_told_and_has_no_shank() -> None:
    """The inside ends 0.8 of the way along, so its form lies closed in the bait."""
    bait = built(hollow(CLOSED), kind="dipped")
    answer = check(bait, "core")
    assert (answer["verdict"], answer["value"]) == ("fail", 1)
    assert "closed on all sides" in answer["text"]
    assert bait.metrics["mould"]["pins"] == []
    form = part(bait, "mould_core")
    assert form.is_watertight and form.bounds[1][0] < 0.85 * 90 / 0.98
