"""A zone whose border falls on a relief's own marks, and what is told of the gaps that it leaves."""

from __future__ import annotations

import numpy as np
import pytest

from worker.strands.armour import turned_round
from worker.strands.girth import Girth
from worker.strands.waist import Waist
from worker.strands.zones import Zone, applied
from worker.styles import STYLES


def test_a_collar_that_ends_on_a_crest_leaves_one_crest_between_two_gaps() -> None:
    """Deep ribs on a tall tapering worm: upright faces put crests where their gaps are, and the collar ends on one."""
    style = STYLES["ribbed_worm"]
    params = {**style.defaults(), "width": 16.0, "height": 16.0, "taper": 0.35, "rib_depth": 4.0, "egg_band": 20.0}
    assert list(style.infeasible(params)) == []
    for outline in style.strands(params)[0].body.outlines:
        gaps, crests = outline.gaps.station, outline.crest_x
        if len(gaps):
            assert len(crests) == len(gaps) + 1
            assert np.all(crests[:-1] <= gaps + 1e-9) and np.all(gaps <= crests[1:] + 1e-9)


def test_a_gauge_stays_level_under_a_zone_and_seen_from_the_other_end() -> None:
    """No core shows in a bar's gauge: that its neck is level from arc to arc is told beside the gap alone."""
    girth = Girth.oval((0.0, 12.5, 4.0), (1.0, 12.5, 4.0))
    bar = Waist(4.0, 20.0, 10.0, 10.0).outlines(girth, 80.0).side
    collared = applied(bar, girth.half_widths(80.0), 80.0, (Zone(70.0, 78.0, 0.5),))
    for outline in (collared, turned_round(bar, 80.0)):
        gaps = outline.gaps
        assert gaps.level is not None
        level = np.flatnonzero(gaps.level)
        assert gaps.floor_begin[level] == pytest.approx([30.0])
        assert gaps.floor_end[level] == pytest.approx([50.0])


def test_faces_stay_sharp_seen_from_the_other_end() -> None:
    """A collar's upright faces are rounded by no ball, whichever way the strand is looked at."""
    girth = Girth.circular((0.0, 10.0), (1.0, 10.0))
    ribs = STYLES["ribbed_worm"]
    relief = ribs.strands(ribs.defaults())[0].relief
    outline = relief.outlines(girth, 100.0).side
    collared = applied(outline, girth.half_widths(100.0), 100.0, (Zone(30.0, 52.0, 0.0),))
    assert 0 < (collared.blends == 0).sum() < len(collared.blends)
    assert turned_round(collared, 100.0).blends.tolist() == collared.blends[::-1].tolist()
