"""Where a ball rests on two beads at once: the quick rule against the definition, and against circles' closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from worker.strands.closing import hides_one
from worker.strands.humps import EllipticHumps
from worker.strands.meeting import meeting_of_ellipses

WIDTHS = st.floats(4, 20)


@given(
    widths=st.lists(WIDTHS, min_size=2, max_size=6),
    length_ratio=st.floats(0.5, 2),
    height_ratio=st.floats(0.6, 1.2),
    pitch=st.floats(0.15, 1.6),
    blend=st.floats(0, 3),
)
def test_the_ball_rests_as_high_on_the_one_bead_as_on_the_other(
    widths: list[float], length_ratio: float, height_ratio: float, pitch: float, blend: float
) -> None:
    length, height = length_ratio * np.array(widths), height_ratio * np.array(widths)
    centre = np.concatenate([[0.0], np.cumsum(pitch * (length[1:] + length[:-1]) / 2)])
    humps = EllipticHumps(centre, length / 2, height / 2)
    assume(not hides_one(humps, blend))
    x = humps.meeting(blend)
    assume(x is not None)  # near touching the rule gives up, and closing.py searches
    assert x is not None
    which = np.arange(len(x))
    before, behind = humps.centre_height(which, x, blend), humps.centre_height(which + 1, x, blend)
    held = humps.right[:-1] + blend > humps.left[1:] - blend
    assert np.abs(before - behind)[held].max(initial=0.0) < 1e-6
    assert np.all(before[~held] <= 0)
    assert np.all((x >= centre[:-1]) & (x <= centre[1:]))


def test_two_circles_meet_where_their_widened_circles_cross() -> None:
    # Circles of radius 5 and 4 mm, centres 7 mm apart, a ball of 1 mm: x = (d^2 + A^2 - B^2) / 2d with A = 6, B = 5.
    x = meeting_of_ellipses(np.array([0.0, 7.0]), np.array([5.0, 4.0]), np.array([5.0, 4.0]), 1.0)
    assert x is not None
    assert x[0] == pytest.approx((49 + 36 - 25) / 14, abs=1e-12)
    assert EllipticHumps(np.array([0.0, 7.0]), np.array([5.0, 4.0]), np.array([5.0, 4.0])).centre_height(
        np.array([0]), x, 1.0
    )[0] == pytest.approx(math.sqrt(36 - x[0] ** 2), abs=1e-12)
