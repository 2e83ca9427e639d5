"""The leech: as long and wide as asked, straight or waved, its edge as thick as asked, volume against quadrature."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from tests.styles.baits import built, extent_at, faults, section, strand_of, subject_of
from worker.styles.leech_edge import edge_of, exponent_of, thickest_edge


@pytest.mark.parametrize("changes", [{}, {"wave": 6}, {"sucker": 8}, {"wave": 5, "waves": 5, "sucker": 10}])
def test_it_is_as_long_as_asked(changes: dict[str, float]) -> None:
    solid = built("leech", **changes)
    assert solid.extent[0] == pytest.approx(90, abs=0.02)
    assert len(solid.parts) == 1


def test_its_sizes_are_those_asked_for() -> None:
    solid = built("leech", rib_depth=0)
    width, height = extent_at(solid, 27, within=0.5)
    assert (width, height) == (pytest.approx(14, abs=0.02), pytest.approx(5, abs=0.02))


def test_a_wave_is_as_high_as_asked() -> None:
    """From crest to trough of the body's middle: the body itself adds what it is thick there."""
    subject = subject_of("leech", wave=6, rib_depth=0)
    points = subject.trunk.path.frames(np.linspace(0, subject.trunk.path.length, 2001))[0]
    assert np.ptp(points[:, 2]) == pytest.approx(6, abs=1e-4)
    assert points[-1, 0] == pytest.approx(90, abs=1e-6)


@pytest.mark.parametrize("edge", [0.8, 1.0, 1.6])
@pytest.mark.parametrize("x", [9.0, 27.0, 60.0, 80.0])
def test_its_edge_is_at_least_as_thick_as_asked(edge: float, x: float) -> None:
    """Measured on a section of the mesh: half as far inside of the rim as it is asked to be thick."""
    solid = built("leech", edge=edge, tail_thickness=3)
    (polygon,) = section(solid, x)
    rim = float(polygon[:, 0].max())
    upper, lower = (polygon[sign * polygon[:, 1] > 0] for sign in (1, -1))
    heights = []
    for side in (upper, lower):
        side = side[np.argsort(side[:, 0])]
        heights.append(float(np.interp(rim - edge / 2, side[:, 0], side[:, 1])))
    assert heights[0] - heights[1] >= edge - 0.03


def test_an_edges_exponent_by_hand() -> None:
    """An ellipse 14 by 5 is 2 * 2.5 sqrt(1 - (6.5/7)^2) = 1.857 mm thick 0.5 mm inside of its rim."""
    assert edge_of((7.0, 2.5), 2.0, 0.5) == pytest.approx(5 * math.sqrt(1 - (6.5 / 7) ** 2), rel=1e-12)
    power = exponent_of([(7.0, 2.0)], 1.4)
    assert power is not None
    assert edge_of((7.0, 2.0), power, 0.7) >= 1.4 > edge_of((7.0, 2.0), power - 0.001, 0.7)
    assert exponent_of([(7.0, 0.5)], 1.2) is None
    most = thickest_edge([(7.0, 0.5)])
    assert exponent_of([(7.0, 0.5)], most) is not None
    assert exponent_of([(7.0, 0.5)], most + 0.01) is None


def test_its_volume_is_the_integral_of_superellipse_areas() -> None:
    """4 a b Gamma(1 + 1/n)^2 / Gamma(1 + 2/n) (DLMF 5.12.1), the sizes by SciPy's PCHIP, its ends half ellipses."""
    trunk = strand_of(subject_of("leech", rib_depth=0), "trunk")
    power, length = trunk.section.upper, trunk.path.length
    at = np.array([station.at for station in trunk.girth.stations]) * length
    sizes = PchipInterpolator(at, [(s.width / 2, s.back) for s in trunk.girth.stations])
    x = (np.arange(200_000) + 0.5) / 200_000 * length
    half_width, half_height = sizes(np.clip(x, 4.0, length - 3.0)).T
    away = np.where(x < 4, (4 - x) / 4, np.where(x > length - 3, (x - length + 3) / 3, 0.0))
    area = 4 * math.gamma(1 + 1 / power) ** 2 / math.gamma(1 + 2 / power) * half_width * half_height * (1 - away**2)
    exact = float(area.mean() * length)
    assert built("leech", rib_depth=0).volume == pytest.approx(exact, rel=1e-3)
    # Pappus: a wave makes the body longer and nothing else.
    waved = subject_of("leech", rib_depth=0, wave=6)
    assert built("leech", rib_depth=0, wave=6).volume == pytest.approx(waved.size.volume, rel=1e-3)


def test_what_cannot_be() -> None:
    assert "/params/thickness" in faults("leech", width=7, head_width=7, tail_width=6, thickness=9)
    assert faults("leech", tail_thickness=1.2, edge=2)["/params/edge"]["maximum"] < 1.2
    assert faults("leech", tail_thickness=1.2, tail_width=12, edge=2)["/params/edge"] is None
    assert faults("leech", edge=2, tail_thickness=2)["/params/edge"]["maximum"] < 2
    assert "/params/head_width" in faults("leech", head_width=20)
    assert "/params/sucker" in faults("leech", sucker=5, tail_width=8)
    most = faults("leech", wave=8, waves=8, thickness=8)["/params/wave"]["maximum"]
    assert faults("leech", wave=most, waves=8, thickness=8) == {}
