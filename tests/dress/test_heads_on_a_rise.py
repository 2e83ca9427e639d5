"""A head on a girth that goes on rising behind it: one ellipse that meets the girth at its height and its slope."""

from __future__ import annotations

import numpy as np
import pytest

from worker.strands.girth import Girth
from worker.strands.path import StraightPath
from worker.strands.plain import Plain
from worker.strands.strand import Strand
from worker.strands.zones import Zone


def _headed(rise: float, face: float = 0.0) -> Strand:
    """A cone 60 mm long, 8 mm thick at its nose, which gains `rise` mm of half-width a millimetre; a head 6 mm long."""
    girth = Girth.circular((0.0, 8.0), (1.0, 8.0 + 120 * rise))
    zones = (Zone(0.0, 20.0, cap=6.0, face=face),)
    return Strand("trunk", "trunk", StraightPath(60.0), girth, Plain((4.0, 4.0)), zones=zones)


@pytest.mark.parametrize(("rise", "face"), [(0.05, 0.0), (0.2, 0.0), (0.2, 1.5), (0.35, 0.0)])
def test_it_meets_the_girth_without_a_step_or_a_crease(rise: float, face: float) -> None:
    side = _headed(rise, face).body.side
    at, hair = np.array([6.0]), 1e-5
    before, here, after = (float(side.height(at + away)[0]) for away in (-hair, 0.0, hair))
    assert here == pytest.approx(4 + 6 * rise, abs=1e-9)
    assert (here - before) / hair == pytest.approx(rise, abs=1e-4)
    assert (after - here) / hair == pytest.approx(rise, abs=1e-4)
    assert float(side.height(np.array([0.0]))[0]) == pytest.approx(face, abs=1e-6)
    # It is round: it never falls, and bends one way all along.
    heights = side.height(np.linspace(0.0, 6.0, 601))
    assert (np.diff(heights) > 0).all()
    assert (np.diff(heights, 2) < 0).all()


def test_a_head_on_a_level_girth_is_half_an_ellipsoid_as_before() -> None:
    side = _headed(0.0).body.side
    x = np.linspace(0.0, 6.0, 50)
    np.testing.assert_allclose(side.height(x), 4 * np.sqrt(1 - ((6 - x) / 6) ** 2), atol=1e-9)


def test_on_a_girth_as_steep_as_the_head_itself_it_stays_round() -> None:
    """Steeper than 0.8 of (h^2 - f^2) / 2 l h an ellipse would be a straight line: the rest is a crease."""
    side = _headed(0.6).body.side
    heights = side.height(np.linspace(0.0, 6.0, 601))
    assert heights[0] == pytest.approx(0.0, abs=1e-6)
    assert (np.diff(heights, 2) < 0).all()
