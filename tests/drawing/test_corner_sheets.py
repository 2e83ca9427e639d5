"""The sheets over the corners of the ranges show baits that can be, the same ones each time."""

from __future__ import annotations

import pytest
from PIL import Image

from demo_requests.corner_sheets import LARGEST, OUT, PLACES, corners
from worker.request import read_request
from worker.styles import STYLES


@pytest.mark.proof
@pytest.mark.parametrize("name", list(STYLES))
def test_every_corner_can_be_ordered(name: str) -> None:
    found = corners(STYLES[name])
    assert 8 <= len(found) <= PLACES
    assert found[0].params == STYLES[name].defaults()
    assert len({repr(sorted(corner.params.items())) for corner in found[:-4]}) == len(found) - 4
    for corner in found:
        assert read_request({"style": name, "params": corner.params}).normal["params"] == corner.params


@pytest.mark.parametrize("name", list(STYLES))
def test_there_is_a_small_sheet_of_every_style(name: str) -> None:
    path = OUT / f"{name}.webp"
    assert 10_000 < path.stat().st_size <= LARGEST, "python -m demo_requests.corner_sheets"
    with Image.open(path) as sheet:
        assert sheet.width == 1200 and sheet.height > 400
