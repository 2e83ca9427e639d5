"""What of a hollow's edge is drawn: as far as it lies in the bait."""

from __future__ import annotations

import numpy as np
import pytest

from worker.drawing.model import Shape
from worker.drawing.planes import VIEWS
from worker.drawing.within import within
from worker.styles import STYLES

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


def test_a_slot_is_drawn_up_to_the_belly_that_it_is_cut_into() -> None:
    """A slot from 2 to 5 that is cut 4 deep and reaches 3 beyond: two sides and the floor."""
    (line,) = within(np.array([[2.0, -3.0], [5.0, -3.0], [5.0, 4.0], [2.0, 4.0]]), [SQUARE]) or []
    assert line == pytest.approx(np.array([[5, 0], [5, 4], [2, 4], [2, 0]]), abs=1e-9)


def test_what_lies_inside_of_all_stays_closed_and_what_lies_outside_is_not_drawn() -> None:
    assert within(SQUARE / 2 + 1, [SQUARE]) is None
    assert within(SQUARE + 20, [SQUARE]) == []
    # Across the edge between two that cover it together nothing is left out.
    assert within(SQUARE / 2 + 7, [SQUARE, SQUARE + 6]) is None


@pytest.mark.parametrize("style", STYLES)
def test_no_hollow_of_a_style_is_drawn_beyond_its_bait(style: str) -> None:
    made = STYLES[style]
    slot = {name: value for name, value in (("hook_slot", "belly"), ("eye", 4.0)) if name in made.defaults()}
    params = made.defaults() | slot if not any(made.infeasible(made.defaults() | slot)) else made.defaults()
    shape = Shape(made.strands(params), made.hollows(params))
    for view in VIEWS:
        left, right, top, bottom = shape.box(view, 0.02)
        for closed, lines in shape.hollow_edges(view, 0.02):
            points = np.concatenate(closed + lines)
            assert points[:, 0].min() > left - 0.05 and points[:, 0].max() < right + 0.05
            assert points[:, 1].min() > top - 0.05 and points[:, 1].max() < bottom + 0.05
