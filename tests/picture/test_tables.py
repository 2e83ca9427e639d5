"""Tables in place of curves, and the blurs, against their formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest

from worker.picture.colour import bytes_from_linear, linear_from_hex, linear_from_srgb, srgb_from_linear
from worker.picture.exposure import toned
from worker.picture.smooth import pattern_mean, soft
from worker.picture.vector import FADE, dot, normalised, ramp, unit


def test_every_byte_survives_the_way_to_linear_light_and_back() -> None:
    light = np.array([linear_from_srgb(i / 255) for i in range(256)], np.float32)
    assert np.array_equal(bytes_from_linear(light), np.arange(256))


def test_the_curve_is_that_of_the_standard() -> None:
    """IEC 61966-2-1: 0.5 in linear light is 188 of 255; the curve's two parts meet at 0.0031308."""
    assert bytes_from_linear(np.array([0.5, -1.0, 2.0], np.float32)).tolist() == [188, 0, 255]
    assert srgb_from_linear(0.0031308) == pytest.approx(0.0031308 * 12.92, abs=1e-5)
    assert linear_from_hex("#FF8000") == pytest.approx((1.0, 0.2158605, 0.0), abs=1e-6)


def test_fading_is_exponential() -> None:
    x = np.linspace(0, 15.9, 5000, dtype=np.float32)
    assert FADE(x) == pytest.approx(np.array([math.exp(-q) for q in x]), rel=1e-3)
    assert FADE(np.array([-5.0, 99.0], np.float32)) == pytest.approx([1.0, math.exp(-16)], abs=1e-6)


def test_vectors() -> None:
    rows = np.array([[3.0, 4.0, 0.0], [0.0, 0.0, 0.0]], np.float32)
    assert normalised(rows)[0] == pytest.approx([0.6, 0.8, 0.0])
    assert normalised(rows)[1].tolist() == [0.0, 0.0, 0.0]
    assert unit((0, 3, 4)) == pytest.approx([0.0, 0.6, 0.8])
    assert dot(rows, rows).tolist() == [25.0, 0.0]
    assert ramp(np.array([0.0, 1.5, 2.0, 3.0], np.float32), 1.0, 2.0) == pytest.approx([0.0, 0.5, 1.0, 1.0])


def test_the_film_s_curve_keeps_the_middle_rises_and_stays_under_white() -> None:
    light = np.linspace(0, 50, 5001, dtype=np.float32)
    curved = toned(light)
    assert curved[:70] == pytest.approx(light[:70])
    assert (np.diff(curved) >= 0).all() and curved.max() < 1


def test_the_pattern_s_mean_takes_the_pattern_away() -> None:
    """Whatever differs within four by four pixels is gone, away from the rim; a level plane stays."""
    random = np.random.Generator(np.random.PCG64(1))
    tile = random.random((4, 4)).astype(np.float32)
    plane = np.tile(tile, (6, 6))[None]
    whole = np.ones((24, 24), np.float32)
    mean = pattern_mean(plane, whole, whole, 1.0)[0]
    assert mean[2:-2, 2:-2] == pytest.approx(tile.mean(), abs=1e-5)


def test_the_pattern_s_mean_stops_at_a_step_in_depth() -> None:
    plane = np.zeros((1, 12, 12), np.float32)
    plane[:, :, 6:] = 1
    depth = np.where(plane[0] > 0, 9.0, 2.0).astype(np.float32)
    assert np.array_equal(pattern_mean(plane, np.ones((12, 12), np.float32), depth, 1.0), plane)


def test_a_blur_keeps_the_sum_and_spreads_by_its_radius() -> None:
    """Three running means over 2h + 1 cells have the variance h (h + 1) in each direction."""
    plane = np.zeros((61, 61), np.float32)
    plane[30, 30] = 1
    spread = soft(plane, 4).astype(float)
    place = np.arange(61) - 30
    assert spread.sum() == pytest.approx(1, abs=1e-5)
    assert (spread.sum(axis=0) * place**2).sum() == pytest.approx(4 * 5, rel=1e-4)
    assert np.allclose(spread, spread.T, atol=1e-7)
