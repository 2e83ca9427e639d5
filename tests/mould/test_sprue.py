"""The sprue: it holds a tenth, and is no thicker than it has to be."""

from __future__ import annotations

import math

import pytest

from worker.mould.sprue import sprue_of


@pytest.mark.parametrize("cavities", [1, 4, 8])
@pytest.mark.parametrize("thickest", [5.0, 10.0, 16.0])
def test_a_sprue_holds_a_tenth_and_grows_longer_before_it_grows_wider(cavities: int, thickest: float) -> None:
    """Baits ten times as long as thick. A tenth of one is a rod of its own thickness and length: of one cavity that is
    never wider, and of eight a rod three thicknesses long is sqrt(8 / 3) = 1.63 times as thick.
    """
    volume = cavities * math.pi * thickest**2 / 4 * 10 * thickest
    sprue = sprue_of((0.0, 0.0), thickest, volume, thickest / 2 + 8, 12.0)
    held = math.pi * sprue.neck_low * (sprue.bottom**2 + sprue.bottom * sprue.top + sprue.top**2) / 3
    neck = sprue.seat_low - sprue.neck_low
    held += math.pi * neck * (sprue.top**2 + sprue.top * sprue.throat + sprue.throat**2) / 3
    assert held >= 0.1 * volume * (1 - 1e-9)
    assert 2 * sprue.top <= thickest * max(1.0, math.sqrt(cavities / 3)) * 1.1
    needed = thickest / 2 + 8 + 1
    assert sprue.length <= max(3 * thickest, needed) + 1
