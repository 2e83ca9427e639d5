"""How many pieces a bait falls into, told by arithmetic and found in the solid."""

from __future__ import annotations

from typing import Any

import pytest

from tests.open_form.bodies import TRUNK, bait, solid_of
from worker.checks.subject import Subject
from worker.request import read_request

Body = dict[str, Any]

CHAIN: Body = {**TRUNK, "girth": [{"at": 0, "width": 10}], "relief": {"kind": "beads", "count": 4, "blend": 0}}
ROD: Body = {"name": "rod", "kind": "core", "path": {"length": 60}, "girth": [{"at": 0, "width": 4}]}
PADDLE: Body = {
    "name": "paddle",
    "kind": "paddle",
    "parent": "body",
    "stations": ["5 mm"],
    "path": {"points": [[0, 0, 0], [0, 10, 0], [12, 12, 0], [16, 0, 0]]},
    "girth": [{"at": 0, "width": 3}],
}
ACROSS: Body = {"kind": "slot", "start": [30, -15, 0], "yaw": 90, "path": {"length": 30}, "ends": {"root": 0, "tip": 0}}

CASES: list[tuple[str, Body, int]] = [
    ("four beads that part", bait(CHAIN), 4),
    ("four beads on a rod", bait(CHAIN, ROD), 1),
    ("a rod beside two of the four", bait(CHAIN, {**ROD, "path": {"length": 25}}), 3),
    ("a limb from the first to the second", bait(CHAIN, PADDLE), 3),
    ("beads that part on a feeler", bait(TRUNK, {
        "name": "string", "kind": "feeler", "parent": "body", "stations": [0.5], "yaw": 90,
        "path": {"length": 40}, "girth": [{"at": 0, "width": 4}], "relief": {"kind": "beads", "count": 5, "blend": 0},
    }), 5),
    ("a slot through the whole", bait(TRUNK, hollows=[{**ACROSS, "girth": [{"at": 0, "width": 2, "height": 40}]}]), 2),
    ("a slot through half of it", bait(TRUNK, hollows=[{**ACROSS, "girth": [{"at": 0, "width": 2, "height": 4}]}]), 1),
    ("a tube with an open rear", bait(TRUNK, hollows=[{"kind": "inside", "strand": "body", "wall": 2}]), 1),
    ("a tube cut all along", bait({**TRUNK, "ends": {"root": "flat", "tip": "flat"}}, hollows=[
        {"kind": "inside", "strand": "body", "wall": 2, "from": 0},
        {"kind": "cut", "strand": "body", "from": 0, "to": 1, "count": 3, "width": 2},
    ]), 3),
    ("a closed pocket", bait(TRUNK, hollows=[{"kind": "pocket", "strand": "body", "stations": [0.5]}]), 1),
]  # fmt: skip


@pytest.mark.parametrize(("body", "pieces"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_pieces_are_told_as_they_are(body: Body, pieces: int) -> None:
    request = read_request({**body, "tolerance_mm": 0.1})
    assert len(solid_of(request).parts) == pieces
    assert Subject(request).pieces == pieces
