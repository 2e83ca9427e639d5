"""Numbers in steps: few are looked through one by one, a great many are searched as a fine number is."""

from __future__ import annotations

import time

import pytest

from tests.fit.fitted import fitted
from worker.fit import fit_request, is_small
from worker.fit.axes import MOST_LISTED


def test_the_finest_steps_take_no_longer_than_a_small_fit_may() -> None:
    """Over a million steps of a worm's length, with a front and what would have to give: few baits, little work."""
    body = {
        "style": "beaded_worm",
        "free": {"length": {"step": 0.0001}},
        "require": {"mass_g": {"at_most": 2}},
        "front": True,
        "evaluations": 20,
    }
    assert is_small(fit_request(body))
    begun = time.process_time()
    document = fitted(**body)
    # Twenty baits of some milliseconds (effort.COST_MS); every step written out takes seconds each time.
    assert time.process_time() - begun < 3
    assert document["evaluations"]["made"] <= 20


@pytest.mark.parametrize(("step", "listed"), [(0.1, True), (0.003, False)])
def test_what_is_found_lies_on_a_step_where_the_range_does_not_end_on_one(step: float, listed: bool) -> None:
    least, most = 100.0, 109.998
    steps = int((most - least) / step)
    assert (steps <= MOST_LISTED) == listed
    document = fitted(
        style="beaded_worm",
        params={"bead_count": 16},
        free={"length": {"minimum": least, "maximum": most, "step": step}},
        require={"verdicts": "any"},
        goal={"greatest": "length_mm"},
        start={"length": most},
        evaluations=150,
    )
    assert document["best"]["free"]["length"] == pytest.approx(least + steps * step, abs=1e-6)


@pytest.mark.parametrize("step", [0.0, 0.001])
def test_a_great_many_steps_find_what_a_fine_number_does(step: float) -> None:
    """A length of 16 beads of 9 mm for the neck of `test_closed_forms`, to half a step beside its share of 0.1 %."""
    pitch = 2 * ((4.5 + 0.8) ** 2 - (3.0 + 0.8) ** 2) ** 0.5
    document = fitted(
        style="beaded_worm",
        params={"bead_diameter": 9, "bead_count": 16, "joint_blend": 0.8},
        free={"length": {"minimum": 80, "maximum": 160, **({"step": step} if step else {})}},
        require={"neck_mm": {"equal": 6, "within": 0.001}, "verdicts": "any"},
    )
    assert document["outcome"] == "met"
    assert document["best"]["free"]["length"] == pytest.approx(pitch * 15 + 9, rel=1e-3)
