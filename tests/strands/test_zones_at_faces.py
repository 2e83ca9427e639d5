"""A zone whose border falls on a relief's own marks."""

from __future__ import annotations

import numpy as np

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
