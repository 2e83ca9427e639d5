"""Which values a drawing takes, which length it finds, and that the same question has the same answer."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from worker.drawing import drawing
from worker.drawing.states import states_of
from worker.styles import STYLES

ROOT = Path(__file__).parents[2]


def values(style: str, name: str) -> list[float | None]:
    return [state.number for state in states_of(STYLES[style], name).states]


def test_a_number_is_drawn_at_both_ends_of_its_range_and_at_its_default() -> None:
    assert values("beaded_worm", "bead_diameter") == [4.0, 9.0, 20.0]
    # Five pairs of legs of the default's thickness do not go on its body: the most that do are drawn.
    assert values("craw", "leg_pairs") == [0, 3, 4]


def test_where_the_default_is_an_end_the_middle_is_drawn_too() -> None:
    assert values("beaded_worm", "taper") == [0.4, 0.7, 1.0]


def test_an_end_that_does_not_go_with_the_rest_gives_way_to_the_nearest_value_that_does() -> None:
    style = STYLES["jointed_worm"]
    states = states_of(style, "core_diameter").states
    most = states[-1].number
    assert most is not None and most < style.parameter("core_diameter").maximum
    assert "the range ends at" in states[-1].note
    defaults = style.defaults()
    assert not list(style.infeasible({**defaults, "core_diameter": most}))
    assert list(style.infeasible({**defaults, "core_diameter": most + 0.2}))


def test_a_choice_is_drawn_at_each_of_its_choices() -> None:
    assert [state.words for state in states_of(STYLES["craw"], "claws").states] == [
        "pincer",
        "flapper",
        "paddle",
        "curl",
    ]


def test_what_changes_nothing_by_default_is_drawn_on_a_bait_on_which_it_does() -> None:
    states = states_of(STYLES["beaded_worm"], "tail_curl")
    assert states.with_words == "tail curl" and states.change is not None


@pytest.mark.parametrize(
    ("style", "name", "sizes"),
    [
        ("beaded_worm", "length", [50, 127, 300]),
        ("beaded_worm", "bead_diameter", [4, 9, 20]),
        ("ribbed_worm", "height", None),
        ("craw", "body_width", None),
        ("craw", "leg_tip", None),
        ("craw", "wrist_width", None),
    ],
)
def test_the_length_that_a_parameter_names_is_found_and_is_the_value(
    style: str, name: str, sizes: list[float] | None
) -> None:
    states = states_of(STYLES[style], name)
    assert states.named is not None
    found = [span.size for span in states.named]
    assert found == pytest.approx(sizes or [state.number for state in states.states], rel=0.006)
    assert f">{states.states[-1].words}</text>" in drawing(STYLES[style], name)


def test_no_length_is_found_for_what_is_none() -> None:
    for style, name in (("craw", "claw_spread"), ("craw", "feelers"), ("beaded_worm", "taper")):
        assert states_of(STYLES[style], name).named is None


def test_a_small_thing_is_enlarged_and_a_large_one_is_not() -> None:
    assert "Enlarged" in drawing(STYLES["beaded_worm"], "joint_blend")
    assert "Enlarged" in drawing(STYLES["craw"], "leg_tip")
    assert "Enlarged" not in drawing(STYLES["craw"], "claw_length")


def test_an_unknown_parameter_is_a_key_error() -> None:
    for name in ("colour", "length.bead", ""):
        with pytest.raises(KeyError):
            drawing(STYLES["beaded_worm"], name)


PROGRAM = """
from hashlib import sha256
from worker.drawing import drawing
from worker.styles import STYLES
for style, name in (("jointed_worm", "tail"), ("ribbed_worm", "rib_depth"), ("beaded_worm", "hook_slot")):
    print(sha256(drawing(STYLES[style], name).encode()).hexdigest())
"""


def test_the_bytes_do_not_depend_on_processor_locale_or_hash_seed() -> None:
    from numpy._core._multiarray_umath import (  # type: ignore[import-not-found]
        __cpu_dispatch__,
        __cpu_features__,
    )

    levels = " ".join(name for name in __cpu_dispatch__ if __cpu_features__.get(name))
    found = set()
    for environment in (
        {"PYTHONHASHSEED": "1"},
        {"PYTHONHASHSEED": "2", "NPY_DISABLE_CPU_FEATURES": levels, "LC_ALL": "C"},
    ):
        ran = subprocess.run(
            [sys.executable, "-c", PROGRAM],
            cwd=ROOT,
            env={**os.environ, **environment},
            capture_output=True,
            text=True,
            timeout=120,
            check=True,
        )
        assert ran.stderr == ""
        found.add(ran.stdout)
    assert len(found) == 1 and len(found.pop().split()) == 3
