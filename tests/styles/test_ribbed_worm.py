"""Ribs that go round a worm which is not as wide as it is high."""

from __future__ import annotations

import pytest

from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import read_request


@pytest.mark.parametrize(
    "params",
    [
        {"width": 4, "height": 16, "rib_depth": 4},
        {"width": 4, "height": 9, "rib_depth": 2.2},
        {"width": 4, "height": 6, "rib_depth": 1.5, "taper": 0.35, "ribs_to": 0.9},
    ],
)
def test_grooves_that_would_cut_a_narrow_worm_in_two_are_refused_with_a_depth_that_does(
    params: dict[str, float],
) -> None:
    with pytest.raises(InfeasibleRequest) as refused:
        read_request({"style": "ribbed_worm", "params": params})
    (fault,) = refused.value.faults
    assert fault.pointer == "/params/rib_depth" and isinstance(fault.allowed, dict)
    most = fault.allowed["maximum"]
    answer = estimate(read_request({"style": "ribbed_worm", "params": {**params, "rib_depth": most}}))
    assert answer["metrics"]["pieces"] == 1
    assert answer["metrics"]["thinnest_mm"]["across"] > 0.3
