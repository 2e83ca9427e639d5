"""How deep lobes run into what holds them is of the stretch, whichever of its ends is told first."""

from __future__ import annotations

import numpy as np
import pytest

from worker.checks.subject import Subject
from worker.fit.lobes import APART, lobes_touch
from worker.request import read_request
from worker.values.stations import Station


@pytest.fixture(scope="module")
def craw() -> Subject:
    return Subject(read_request({"style": "craw"}), mends=False)


@pytest.mark.parametrize(
    ("begin", "end"), [("20 mm", "45 mm"), (0.1, 0.45), ("20 mm", 0.45), (0.3, 0.3), ("20 mm", "590 mm"), (0.1, 0.9)]
)
def test_either_end_may_be_told_first(craw: Subject, begin: Station, end: Station) -> None:
    assert lobes_touch(craw, end, begin) == lobes_touch(craw, begin, end)


def test_a_stretch_is_no_deeper_than_any_place_in_it(craw: Subject) -> None:
    """The least of a stretch is at most that of each part of it, of the length of 95 mm: told from its far end too."""
    places = [float(at) for at in np.linspace(0.22, 0.45, 24).round(4)]
    least = min(lobes_touch(craw, at, at) for at in places)
    assert least > APART
    for begin, end in ((0.22, 0.45), (0.45, 0.22)):
        assert lobes_touch(craw, begin, end) <= least + 1e-9
