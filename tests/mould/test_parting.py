"""Parting planes that are given: they meet the bait, and the gate opens into plastic."""

from __future__ import annotations

from typing import Any

import pytest

from tests.mould.moulded import WORM
from worker.checks.subject import Subject
from worker.errors import GeometryFailed, InfeasibleRequest
from worker.mould.cavity import cavity_of
from worker.request import read_request
from worker.solid.join import joined

ROUND: dict[str, Any] = {
    "strands": [
        {"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": [{"at": at, "width": 10} for at in (0, 1)]}
    ],
    "detail": "coarse",
}


@pytest.mark.parametrize("kind", ["injected", "open_pour"])
@pytest.mark.parametrize("height", [-30, 30, 5.1])
@pytest.mark.parametrize("turn", [0, 45, -90])
def test_a_plane_that_misses_the_bait_is_refused_with_its_range(kind: str, height: float, turn: float) -> None:
    """A rod 10 mm thick reaches 5 mm to each side, however it is turned."""
    with pytest.raises(InfeasibleRequest) as caught:
        read_request({**ROUND, "mould": {"kind": kind, "parting": {"turn_deg": turn, "height": height}}})
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.code) == ("/mould/parting/height", "beside-the-bait")
    assert isinstance(fault.allowed, dict)
    assert fault.allowed["minimum"] == pytest.approx(-5, abs=0.02)
    assert fault.allowed["maximum"] == pytest.approx(5, abs=0.02)
    for edge in (fault.allowed["minimum"], fault.allowed["maximum"]):
        read_request({**ROUND, "mould": {"kind": kind, "parting": {"turn_deg": turn, "height": edge}}})


def test_a_plane_that_misses_the_solid_fails_in_a_sentence() -> None:
    """What only a build can tell: the same solid, and a plane that no request reader has looked at."""
    request = read_request({**WORM, "detail": "coarse"})
    subject = Subject(request)
    solid = joined(subject.strands, request.tolerance)
    with pytest.raises(GeometryFailed, match=r"misses the bait, which at 0 degrees reaches from -\d.\d+ to \d.\d+ mm"):
        cavity_of(subject, solid, solid, (0.0, 9.0))


def test_other_faults_come_with_it_at_once() -> None:
    with pytest.raises(InfeasibleRequest) as caught:
        read_request({**ROUND, "mould": {"kind": "injected_with_core", "parting": {"turn_deg": 0, "height": 20}}})
    assert [fault.pointer for fault in caught.value.faults] == ["/mould/kind", "/mould/parting/height"]
