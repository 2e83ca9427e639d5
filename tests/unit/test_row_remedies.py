"""Remedies that turn one member of a list of objects."""

from __future__ import annotations

from dataclasses import replace

from worker.styles import STYLES
from worker.styles.bait import StyledBait
from worker.styles.style import Remedy
from worker.values.parameter import Parameter
from worker.values.rows import Rows

GROUPS = Rows(
    "groups",
    "Groups",
    "Legs, group by group.",
    (
        Parameter("kind", "choice", "Kind", "What it is.", default="leg", choices=("leg", "feeler")),
        Parameter("root", "length", "Root", "Width.", default=2.0, minimum=1.0, maximum=4.0, step=0.5, unit="mm"),
    ),
    most=4,
)
STYLE = replace(
    STYLES["beaded_worm"],
    parameters=(GROUPS,),
    remedies={
        "up": (Remedy("groups", up=True, text="legs of {value} mm", member="root", only=(("kind", "leg"),)),),
        "down": (Remedy("groups", up=False, text="{value} mm", member="root"),),
    },
)
ROWS = [{"kind": "leg", "root": 1.2}, {"kind": "feeler", "root": 1.0}, {"kind": "leg", "root": 2.6}]


def test_every_row_that_is_meant_comes_to_the_value_at_least_and_no_other_changes() -> None:
    (dial,) = StyledBait(STYLE, {"groups": ROWS}).dials("up")
    assert dial.most == 6  # from 1.2 by way of 1.5 to 4.0
    assert dial.words(1) == "legs of 1.5 mm"
    assert dial.patch(1) == {"params": {"groups": [{**ROWS[0], "root": 1.5}, *ROWS[1:]]}}
    assert dial.patch(6)["params"]["groups"] == [{**ROWS[0], "root": 4.0}, ROWS[1], {**ROWS[2], "root": 4.0}]


def test_a_remedy_may_turn_every_row_down() -> None:
    (dial,) = StyledBait(STYLE, {"groups": ROWS}).dials("down")
    assert dial.most == 4  # from 2.6 by way of 2.5 to 1.0
    assert dial.patch(1)["params"]["groups"] == [*ROWS[:2], {**ROWS[2], "root": 2.5}]
    assert [row["root"] for row in dial.patch(4)["params"]["groups"]] == [1.0, 1.0, 1.0]


def test_no_row_no_remedy() -> None:
    assert list(StyledBait(STYLE, {"groups": []}).dials("up")) == []
    assert list(StyledBait(STYLE, {"groups": [ROWS[1]]}).dials("up")) == []


TIPPED = replace(
    GROUPS,
    members=(
        *GROUPS.members,
        Parameter("tip", "length", "Tip", "Width.", default=1.0, minimum=0.5, maximum=3.0, step=0.5, unit="mm"),
    ),
)
THICKER = (Remedy("groups", up=True, text="tips of {value} mm", member="tip", along=("root",)),)
WIDTHS = tuple(
    Parameter(name, "length", name, "Width.", default=1.0, minimum=0.5, maximum=most, step=0.5, unit="mm")
    for name, most in (("tip", 3.0), ("root", 2.0))
)


def test_what_goes_along_is_brought_to_the_value_and_no_further() -> None:
    rows = [{"kind": "leg", "root": 1.2, "tip": 1.0}, {"kind": "leg", "root": 2.6, "tip": 1.0}]
    style = replace(STYLE, parameters=(TIPPED,), remedies={"thin": THICKER})
    (dial,) = StyledBait(style, {"groups": rows}).dials("thin")
    assert dial.patch(1)["params"]["groups"] == [{**rows[0], "tip": 1.5, "root": 1.5}, {**rows[1], "tip": 1.5}]


def test_parameters_go_along_too_as_far_as_their_own_range_goes() -> None:
    style = replace(STYLE, parameters=WIDTHS, remedies={"thin": (replace(THICKER[0], parameter="tip", member=""),)})
    (dial,) = StyledBait(style, {"tip": 1.0, "root": 1.5}).dials("thin")
    assert [dict(dial.patch(steps)["params"]) for steps in (1, 2, 4)] == [
        {"tip": 1.5},
        {"tip": 2.0, "root": 2.0},
        {"tip": 3.0, "root": 2.0},
    ]
