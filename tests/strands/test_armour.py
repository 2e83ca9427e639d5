"""Plates are ribs seen from the other end."""

from __future__ import annotations

import numpy as np
import pytest

from worker.strands.armour import Plates, turned_round
from worker.strands.girth import Girth
from worker.strands.ribs import Ribs

GIRTH = Girth.oval((0.0, 9.0, 11.0), (0.4, 10.0, 12.0), (1.0, 6.0, 7.0))
OTHER_WAY = Girth.oval((0.0, 6.0, 7.0), (0.6, 10.0, 12.0), (1.0, 9.0, 11.0))
RIBS = Ribs(7, 4.0, 0.8, 1.6, 0.3, 6.0, (2.0, 3.0))
STATIONS = 50.0 * (np.arange(997) + 0.37) / 997


def test_heights_are_those_of_the_ribs_from_the_other_end() -> None:
    plates, ribs = Plates(RIBS).outlines(GIRTH, 50.0), RIBS.outlines(OTHER_WAY, 50.0)
    for plate, rib in zip(plates, ribs, strict=True):
        assert plate.height(STATIONS) == pytest.approx(rib.height(50.0 - STATIONS), abs=1e-9)
        assert plate.gaps.station == pytest.approx(50.0 - rib.gaps.station[::-1])
        assert plate.runs == [(pytest.approx(0.0), pytest.approx(50.0))]
    assert Plates(RIBS).ends == (3.0, 2.0)


def test_turned_round_twice_it_is_the_same() -> None:
    outline = RIBS.outlines(GIRTH, 50.0).side
    again = turned_round(turned_round(outline, 50.0), 50.0)
    assert again.height(STATIONS) == pytest.approx(outline.height(STATIONS), abs=1e-9)
    assert again.crest_x == pytest.approx(outline.crest_x) and again.crest_y == pytest.approx(outline.crest_y)


def test_without_plates_it_is_the_girth() -> None:
    smooth = Plates(RIBS).smooth_outlines(GIRTH, 50.0).side
    inside = STATIONS[(STATIONS > 3) & (STATIONS < 48)]
    assert 2 * smooth.height(inside) == pytest.approx(GIRTH.width(inside / 50.0), abs=1e-9)
