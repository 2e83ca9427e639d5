"""The stick worm: sizes as asked, rings of the depth asked, and its volume against one worked out from the drawing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from tests.styles.baits import built, extent_at, faults, strand_of, subject_of
from worker.strands.rings_relief import Rings

EVEN = {"girth": 8, "nose": 8, "tail_end": 8}


def test_its_sizes_are_those_asked_for() -> None:
    solid = built("stick_worm", length=127, ring_depth=0)
    assert solid.extent[0] == pytest.approx(127, abs=0.02)
    assert max(solid.extent[1:]) == pytest.approx(10.5, abs=0.02)
    assert extent_at(solid, 0.45 * 127)[0] == pytest.approx(10.5, abs=0.02)
    # Behind the rounded nose it is as thick as it was asked to be at its very end, to the girth's own rise over 2 mm.
    assert extent_at(solid, 3.75, within=0.2)[0] == pytest.approx(7.5, abs=0.5)
    assert extent_at(solid, 127 - 2.5, within=0.2)[0] == pytest.approx(5.0, abs=0.5)


def test_a_plain_even_stick_is_a_rod_with_round_ends() -> None:
    """Cylinder and two half balls: exact."""
    solid = built("stick_worm", length=127, ring_depth=0, **EVEN)
    exact = math.pi * 16 * (127 - 8) + 4 / 3 * math.pi * 64
    assert solid.volume == pytest.approx(exact, rel=1e-3)


@pytest.mark.parametrize(("pitch", "depth"), [(2.5, 0.4), (2.5, 0.8), (1.5, 0.2), (8.0, 0.1)])
def test_what_the_rings_take_away(pitch: float, depth: float) -> None:
    """Pappus over a groove drawn here: an arc of the bottom between two of the edges, of one radius, 2 `half` wide."""
    bare, ringed = (
        subject_of("stick_worm", length=127, ring_depth=each, ring_pitch=pitch, **EVEN) for each in (0, depth)
    )
    relief = strand_of(ringed, "trunk").relief
    assert isinstance(relief, Rings)
    half = max(pitch / 4, 1.15 * depth)
    round_ = (half**2 + depth**2) / (4 * depth)

    def low(x: float) -> float:
        """Depth of the groove at x from its middle: the arcs meet half-way out."""
        away = min(x, half - x)
        sag = round_ - math.sqrt(round_**2 - away**2)
        return depth - sag if x < half / 2 else sag

    def ring(x: float) -> float:
        return math.pi * (16 - (4 - low(x)) ** 2)

    taken = 2 * (quad(ring, 0, half / 2)[0] + quad(ring, half / 2, half)[0])
    fit = math.floor(0.3 * 127 / pitch + 1e-9)
    assert relief.count == fit
    assert bare.size.volume - ringed.size.volume == pytest.approx(fit * taken, rel=1e-6)
    solid = built("stick_worm", length=127, ring_depth=depth, ring_pitch=pitch, **EVEN)
    assert solid.volume == pytest.approx(ringed.size.volume, rel=1e-4)


def test_each_ring_is_a_joint_as_deep_as_was_asked() -> None:
    subject = subject_of("stick_worm", ring_depth=0.4, **EVEN)
    assert len(subject.joints) == 15  # 0.3 of 127 mm by 2.5 mm
    np.testing.assert_allclose(subject.joints.half_width, 4 - 0.4, atol=1e-9)
    np.testing.assert_allclose(np.diff(subject.joints.station), 2.5, atol=1e-9)


def test_the_rings_can_be_on_the_back_alone() -> None:
    """`cover` of a strand: the belly and the sides stay the plain stick's."""
    from dataclasses import replace

    trunk = replace(strand_of(subject_of("stick_worm"), "trunk"), cover="back")
    at = trunk.body.back.gaps.station
    assert len(at) == 15
    plain = trunk.smooth
    width, back, belly = trunk.body.sizes(at)
    np.testing.assert_allclose(width, plain.sizes(at)[0], atol=1e-12)
    np.testing.assert_allclose(belly, plain.sizes(at)[2], atol=1e-12)
    assert float((plain.sizes(at)[1] - back).min()) > 0.39


def test_what_cannot_be() -> None:
    assert faults("stick_worm", nose=12, girth=10) == {"/params/nose": {"minimum": 3.0, "maximum": 10.0, "unit": "mm"}}
    assert "/params/tail_end" in faults("stick_worm", tail_end=9, girth=8, nose=8)
    assert faults("stick_worm", ring_depth=0.8, ring_pitch=1.5)["/params/ring_depth"]["maximum"] < 0.6
    assert "/params/rings_to" in faults("stick_worm", rings_from=0.4, rings_to=0.35)
    assert "/params/ring_pitch" in faults("stick_worm", length=50, rings_from=0.05, rings_to=0.1, ring_pitch=4)
    assert faults("stick_worm", ring_depth=0, ring_pitch=1.5, rings_from=0.4, rings_to=0.35) == {}
