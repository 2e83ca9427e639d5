"""Where a bait's plastic lies and what it shows from above, by arithmetic, against the mesh that a build makes.

The mesh's middle by the sum of tetrahedra over the origin; its plan by projecting it along z with the mesh kernel.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from worker.checks.subject import Subject
from worker.measures.water.spread import Spread, spread_of
from worker.request import Request, read_request
from worker.solid.join import joined

BAITS: list[dict[str, Any]] = [
    {"style": "ribbed_worm", "params": {"tail": "curl"}},
    {"style": "beaded_worm", "params": {"bead_diameter": 12, "bead_count": 13, "hook_slot": "back", "weight_bore": 3}},
    {"style": "paddle_tail"},
    {"style": "tube"},
    {"style": "craw"},
]


def _spread(request: Request) -> Spread:
    subject = Subject(request)
    whole = subject.whole.volume
    return spread_of(subject.trunk_strands, subject.limbs, subject.hollows, whole, whole - subject.size.volume)


@pytest.mark.parametrize("body", BAITS, ids=lambda body: str(body["style"]))
def test_against_the_mesh(body: dict[str, Any]) -> None:
    request = read_request(body)
    subject, spread = Subject(request), _spread(request)
    solid = joined(subject.strands, 0.1, subject.hollows)
    a, b, c = (solid.vertices[solid.triangles[:, corner]] for corner in range(3))
    parts = (a * np.cross(b, c)).sum(axis=1) / 6
    middle = float((parts * (a + b + c)[:, 0] / 4).sum() / parts.sum())
    length = subject.size.length
    assert spread.middle == pytest.approx(middle, abs=0.006 * length)
    assert spread.volume == pytest.approx(float(parts.sum()), rel=0.02)
    plan = sum(part.plan for part in spread.parts)
    assert plan == pytest.approx(float(solid.body.project().area()), rel=0.04)


def test_a_strand_shows_what_is_seen_from_above() -> None:
    """The blade of a craw's fan lies flat, the fin of a paddle tail stands upright: broad from above, or not."""
    spread = _spread(read_request({"style": "craw"}))
    fans = [part for part in spread.parts if "fan" in part.name]
    assert fans
    for fan in fans:
        assert fan.drag / fan.plan > 1.1  # a plate
    legs = [part for part in spread.parts if "leg" in part.name]
    assert all(part.drag / part.plan < 1.0 for part in legs)


def test_handed_limbs_weigh_as_their_counterparts() -> None:
    spread = _spread(read_request({"style": "craw"}))
    by_name = {part.name: part for part in spread.parts}
    pairs = [(by_name[name], by_name[name.replace("left", "right")]) for name in by_name if name.startswith("left")]
    assert pairs
    for left, right in pairs:
        assert (left.volume, left.middle, left.plan) == (right.volume, right.middle, right.plan)
