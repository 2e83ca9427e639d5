"""The paddle tail: as long, high and wide as asked, wrist and paddle in their places, volumes against quadrature."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from tests.styles.baits import built, extent_at, faults, strand_of, subject_of
from worker.solid.trunk import solid_of
from worker.strands.streamlined import Streamlined


@pytest.mark.parametrize("angle", [60, 90, 115])
def test_it_is_as_long_as_asked_at_any_angle_of_the_paddle(angle: float) -> None:
    solid = built("paddle_tail", paddle_angle=angle)
    assert solid.extent[0] == pytest.approx(100, abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)


def test_its_sizes_are_those_asked_for() -> None:
    solid = built("paddle_tail", hook_slot="none")
    width, height = extent_at(solid, 35, within=0.6)
    assert (width, height) == (pytest.approx(12, abs=0.02), pytest.approx(20, abs=0.02))
    width, height = extent_at(solid, 82, within=0.6)
    assert (width, height) == (pytest.approx(4, abs=0.03), pytest.approx(4.5, abs=0.03))
    # The paddle is 3 mm thick and square to the bait.
    width, height = extent_at(solid, 98.5, within=0.2)
    assert (width, height) == (pytest.approx(13, abs=0.03), pytest.approx(15, abs=0.03))
    assert solid.vertices[:, 2].min() == pytest.approx(-0.53 * 20, abs=0.02)


@pytest.mark.parametrize("power", [1.8, 2.0, 2.2, 3.0])
def test_the_bodys_volume_is_the_integral_of_superellipse_areas(power: float) -> None:
    """4 a b Gamma(1 + 1/n)^2 / Gamma(1 + 2/n) is a superellipse's area (Euler's beta integral; DLMF 5.12.1).

    The sizes come from the declared stations by SciPy's PCHIP, the nose and the rear from their half ellipses.
    """
    body = strand_of(subject_of("paddle_tail", squareness=power), "trunk")
    length, relief = body.path.length, body.relief
    assert isinstance(relief, Streamlined)
    at = np.array([station.at for station in body.girth.stations]) * length
    sizes = PchipInterpolator(at, [(s.width / 2, s.back + s.belly) for s in body.girth.stations])
    first, last = relief.head, length - relief.end
    x = (np.arange(200_000) + 0.5) / 200_000 * length
    half_width, height = sizes(np.clip(x, first, last)).T
    nose = np.sqrt(1 - (1 - np.minimum(x, first) / relief.nose) ** 2) / math.sqrt(1 - (1 - first / relief.nose) ** 2)
    share = nose**2 * (1 - (np.maximum(x - last, 0) / relief.end) ** 2)
    area = 2 * math.gamma(1 + 1 / power) ** 2 / math.gamma(1 + 2 / power) * half_width * height * share
    assert solid_of(body, 0.02).volume == pytest.approx(float(area.mean() * length), rel=1e-3)


def test_its_nose_is_the_first_part_of_an_ellipse_that_the_girth_carries_on() -> None:
    """(x - 35)^2 / 35^2 + z^2 / 10^2 = 1 up to the peak at 35 mm of a bait 20 mm high, to 2 % of the height."""
    body = strand_of(subject_of("paddle_tail"), "trunk").smooth
    x = np.linspace(1.0, 34.0, 60)
    ellipse = 10 * np.sqrt(1 - ((x - 35) / 35) ** 2)
    np.testing.assert_allclose(body.half_sizes(x)[1], ellipse, atol=0.4)
    np.testing.assert_allclose(body.half_sizes(x[x < 5.2])[1], ellipse[x < 5.2], atol=0.01)


def test_a_squarer_body_holds_more_in_the_same_sizes() -> None:
    lean, square = (built("paddle_tail", squareness=power, hook_slot="none") for power in (1.8, 3.0))
    assert square.volume > 1.08 * lean.volume
    assert square.extent == pytest.approx(lean.extent, abs=0.05)


def test_the_wrist_is_told_as_the_tails_neck() -> None:
    """Area by the superellipse formula at 82 %, held to the tail wrist's 4 N."""
    subject = subject_of("paddle_tail", squareness=2.0)
    group = next(group for group in subject.joint_groups if group.strand == "tail")
    assert group.limit == 4.0
    neck = group.kinds.index("neck")
    assert float(group.joints.area[neck]) == pytest.approx(math.pi / 4 * 4 * 4.5, rel=1e-6)


def test_an_angle_turns_the_lower_edge() -> None:
    """Under 90 degrees the lower edge leads, above it it trails, by the angle's cosine times the height."""
    for angle in (70, 90, 110):
        paddle = solid_of(strand_of(subject_of("paddle_tail", paddle_angle=angle), "paddle"), 0.02).vertices
        lower, upper = paddle[paddle[:, 2].argmin()], paddle[paddle[:, 2].argmax()]
        # The rim is round, so its lowest and highest points lie within its radius of the edges' middles.
        assert lower[0] - upper[0] == pytest.approx(-15 * math.cos(math.radians(angle)), abs=1.5)


@pytest.mark.parametrize("length", [40, 100, 250])
def test_it_keeps_its_proportions(length: float) -> None:
    """Every size but the paddle's thickness is a share of the length."""
    params = {"length": length, "hook_slot": "none", "paddle_thickness": min(0.03 * length, 6)}
    solid = built("paddle_tail", **{**params, "paddle_thickness": max(params["paddle_thickness"], 2)})
    assert solid.extent == pytest.approx((length, 0.13 * length, 0.2 * length), abs=0.02)


def test_what_cannot_be() -> None:
    assert faults("paddle_tail", wrist_height_share=0.12)["/params/wrist_height_share"]["maximum"] < 0.12
    assert faults("paddle_tail", length=40, wrist_width_share=0.02)["/params/wrist_width_share"]["minimum"] == 0.03
    assert faults("paddle_tail", paddle_width_share=0.05)["/params/paddle_width_share"]["minimum"] > 0.05
    assert "/params/peak_at" in faults("paddle_tail", peak_at=0.5, wrist_at=0.6)
    assert faults("paddle_tail", wrist_at=0.92, paddle_thickness=6)["/params/wrist_at"]["maximum"] < 0.92
    assert faults("paddle_tail", length=50, paddle_thickness=6)["/params/paddle_thickness"]["maximum"] == 4.55
    wide = {"paddle_height_share": 0.4, "paddle_angle": 60, "wrist_height_share": 0.02, "wrist_width_share": 0.02}
    assert faults("paddle_tail", **wide) == {}
