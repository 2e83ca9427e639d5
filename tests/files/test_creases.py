"""Angles at corners, by which normals are weighed: without a function that depends on the processor's vectors."""

from __future__ import annotations

import numpy as np
import pytest

from worker.files.creases import angle


@pytest.mark.parametrize("size", [1e-9, 1.0, 1e6])
def test_it_is_the_angle_of_its_sine_and_cosine(size: float) -> None:
    turn = np.linspace(0.0, np.pi, 20_001)
    assert np.abs(angle(size * np.abs(np.sin(turn)), size * np.cos(turn)) - turn).max() < 1e-10


def test_right_and_straight_angles_and_none() -> None:
    assert angle(np.array([0.0, 2.0, 0.0, 0.0]), np.array([5.0, 0.0, -5.0, 0.0])) == pytest.approx(
        [0, np.pi / 2, np.pi, 0]
    )
