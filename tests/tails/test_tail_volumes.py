"""Tails against exact volumes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from worker.solid.trunk import solid_of
from worker.strands.path import Path
from worker.strands.vectors import norm
from worker.styles.placing import Place
from worker.styles.tail_blades import Blade, beaver, ribbon, rod
from worker.styles.tail_curl import CURL_END, CurlTooTight, curl, line_of
from worker.styles.tail_kick import paddle
from worker.styles.tail_spiral import Spiral, spiral

EVEN = Blade(length=90.0, width=5.0, wrist=5.0, root_thickness=1.6, tip_thickness=1.6)


@pytest.mark.parametrize("degrees", [60, 200, 330, 400])
def test_a_curl_of_one_section_has_the_volume_of_a_straight_one(degrees: float) -> None:
    # Pappus and Guldin: section area times the length of its centroid's path. Of the rounded tip two thirds count.
    tail = curl("tail", Place(), 0.0, EVEN, degrees, 2.0)
    end = CURL_END * 5
    exact = math.pi / 4 * 5 * 1.6 * (90 - end + 2 / 3 * end)
    assert tail.path.length == pytest.approx(90, rel=1e-5)
    assert solid_of(tail, 0.02).volume == pytest.approx(exact, rel=1e-4)


def test_a_straight_tail_is_a_cylinder_with_a_round_end() -> None:
    exact = math.pi * 4 * (30 - 2) + 2 / 3 * math.pi * 8
    assert solid_of(rod("tail", Place(), 5.0, 25.0, 4.0, 4.0), 0.01).volume == pytest.approx(exact, rel=1e-5)


def test_a_spike_is_a_cone_without_its_point() -> None:
    # A frustum from 4.6 mm, 5 mm ahead of its place, to 1.06 mm where half an ellipsoid of 0.5 mm begins.
    first, last = 2.3, 0.53
    frustum = math.pi / 3 * 29.5 * (first * first + first * last + last * last)
    exact = frustum + 2 / 3 * math.pi * last * last * 0.5
    assert solid_of(rod("tail", Place(), 5.0, 25.0, 4.0, 1.0), 0.01).volume == pytest.approx(exact, rel=1e-5)


@pytest.mark.parametrize("make", [beaver, ribbon])
def test_a_blade_as_wide_as_its_wrist_is_an_oval_rod(make: type) -> None:
    tail = make("tail", Place(), 0.001, EVEN)
    end = tail.relief.ends[1]
    exact = math.pi / 4 * 5 * 1.6 * (90.001 - end / 3)
    assert solid_of(tail, 0.02).volume == pytest.approx(exact, rel=1e-4)


def test_a_square_paddle_lies_across_the_way() -> None:
    low, high = _box(paddle("paddle", Place((10.0, 0.0, 0.0)), 13.0, 15.0, 3.0, 90.0))
    assert np.allclose(low, [10, -6.5, -7.5], atol=0.02)
    assert np.allclose(high, [13, 6.5, 7.5], atol=0.02)


@pytest.mark.parametrize("angle", [60.0, 115.0])
def test_a_paddle_s_lower_edge_leads_below_a_right_angle_and_trails_above(angle: float) -> None:
    solid = solid_of(paddle("paddle", Place(), 13.0, 15.0, 3.0, angle), 0.02)
    lowest = solid.vertices[solid.vertices[:, 2].argmin(), 0]
    highest = solid.vertices[solid.vertices[:, 2].argmax(), 0]
    assert (lowest > highest) == (angle > 90)
    assert solid.volume == pytest.approx(
        solid_of(paddle("paddle", Place(), 13.0, 15.0, 3.0, 90.0), 0.02).volume, rel=1e-4
    )


def _box(strand: object) -> tuple[np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    vertices = solid_of(strand, 0.02).vertices  # type: ignore[arg-type]
    return vertices.min(axis=0), vertices.max(axis=0)


def test_a_spiral_of_one_radius_is_a_circle() -> None:
    line = Spiral(stem=7.0, turn=math.radians(300), first=9.0, last=9.0)
    turned = np.linspace(0, line.turn, 50)
    ahead, left = line.points(turned)
    assert np.allclose(np.hypot(ahead - 7, left - 9), 9)
    assert line.length == pytest.approx(7 + 9 * math.radians(300))


def test_a_spiral_s_closed_form_is_the_integral_of_its_radius() -> None:
    line = Spiral(stem=2.0, turn=math.radians(400), first=20.0, last=5.0)
    fine = np.linspace(0, line.turn, 200001)
    middle = (fine[1:] + fine[:-1]) / 2
    step = line.radius(middle) * np.diff(fine)
    ahead, left = line.points(fine[-1:])
    assert ahead[0] == pytest.approx(2 + (step * np.cos(middle)).sum(), abs=1e-6)
    assert left[0] == pytest.approx((step * np.sin(middle)).sum(), abs=1e-6)
    assert line.stations(fine[-1:])[0] == pytest.approx(line.length)


def test_the_path_of_a_curl_keeps_to_its_radii() -> None:
    tail = curl("tail", Place(), 0.0, EVEN, 360, 2.0)
    line = line_of(EVEN, 360, 2.0)
    assert line is not None
    turned = np.linspace(0.05, line.turn - 0.05, 60)
    assert np.allclose(1 / norm(_bend(tail.path, line.stations(turned))), line.radius(turned), rtol=0.01)


def _bend(path: Path, station: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    return path.curvature(station)


def test_the_inner_edge_turns_on_no_less_than_was_asked() -> None:
    for inner in (1.0, 3.0, 6.0):
        line = line_of(EVEN, 250, inner)
        assert line is not None and line.last - 2.5 >= inner - 1e-6


def test_a_short_wide_tail_does_not_go_round() -> None:
    assert line_of(Blade(20.0, 12.0, 4.0, 2.0, 1.0), 300, 3.0) is None
    with pytest.raises(CurlTooTight, match="20 mm long cannot turn by 300"):
        curl("tail", Place(), 1.0, Blade(20.0, 12.0, 4.0, 2.0, 1.0), 300, 3.0)


def test_a_curl_keeps_clear_of_itself_and_of_the_body() -> None:
    """Brute force: no two places more than half a turn apart come nearer than the blade is wide."""

    def half(share: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
        return np.full(len(share), 2.5)

    line = spiral(90.0, 400.0, 2.0, half)
    assert line is not None
    turned = np.linspace(0, line.turn, 2000)
    ahead, left = line.points(turned)
    apart = np.hypot(ahead[:, None] - ahead[None, :], left[:, None] - left[None, :])
    far = np.abs(turned[:, None] - turned[None, :]) > math.pi
    assert apart[far].min() > 5 + 0.7
    assert (ahead[turned > math.pi / 2] - 2.5).min() > 0
