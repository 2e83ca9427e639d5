"""What the open form refuses, at which pointer, and what it says would do: one row a rule."""

from __future__ import annotations

from typing import Any

import pytest

from tests.open_form.bodies import LEG, SLOT, TRUNK, bait, codes, faults, less
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.request import read_request

CURVE = [{"point": [0, 0, 0], "tangent": [20, 0, 0]}, {"point": [50, 0, 0], "tangent": [20, 0, 0]}]
RIBS = {"kind": "ribs", "pitch": 3}
BALLOON = {"kind": "pocket", "path": {"length": 80}, "start": [-10, 0, 0], "girth": [{"at": 0, "width": 60}]}
BALLOON["ends"] = {"root": "flat", "tip": "flat"}

# What stands at a pointer alone.
SINGLY: list[tuple[Any, dict[str, str]]] = [
    ({"strands": []}, {"/strands": "not-a-list"}),
    ({"strands": {}}, {"/strands": "not-a-list"}),
    ({"strands": [TRUNK] * 41}, {"/strands": "not-a-list"}),
    ({"strands": None}, {"/strands": "null"}),
    ({"strands": [None]}, {"/strands/0": "null"}),
    ({"strands": [5]}, {"/strands/0": "not-an-object"}),
    (bait(TRUNK, style="craw"), {"/style": "one-or-the-other"}),
    (bait(TRUNK, style="craw", params={}), {"/style": "one-or-the-other", "/params": "one-or-the-other"}),
    ({"style": "craw", "hollows": []}, {"/hollows": "unknown-member"}),
    ({"hollows": []}, {"/style": "missing", "/hollows": "unknown-member"}),
    (bait({}), {f"/strands/0/{name}": "missing" for name in ("name", "kind", "path", "girth")}),
    (bait({**TRUNK, "kind": "leg"}), {"/strands/0/kind": "not-a-choice"}),
    (bait(TRUNK, {**LEG, "kind": "trunk"}), {"/strands/1/kind": "not-a-choice"}),
    (bait({**TRUNK, "stations": [0.5]}), {"/strands/0/stations": "unknown-member"}),
    (bait({**TRUNK, "root_blend": 1}), {"/strands/0/root_blend": "unknown-member"}),
    (bait(TRUNK, less(LEG, "stations")), {"/strands/1/stations": "missing"}),
    (bait(TRUNK, {**LEG, "stations": []}), {"/strands/1/stations": "not-a-list"}),
    (bait(TRUNK, {**LEG, "stations": [1.2, "12", "5 furlongs", -0.1, True]}), {
        "/strands/1/stations/0": "out-of-range",
        "/strands/1/stations/1": "not-a-station",
        "/strands/1/stations/2": "out-of-range",
        "/strands/1/stations/3": "out-of-range",
        "/strands/1/stations/4": "not-a-station",
    }),
    (bait(TRUNK, {**LEG, "stations": {"from": 0.2, "count": 1}}), {
        "/strands/1/stations/to": "missing",
        "/strands/1/stations/count": "out-of-range",
    }),
    (bait({**TRUNK, "name": ""}), {"/strands/0/name": "not-a-text"}),
    (bait({**TRUNK, "name": "n" * 41}), {"/strands/0/name": "not-a-text"}),
    (bait({**TRUNK, "path": {}}), {"/strands/0/path": "one-of"}),
    (bait({**TRUNK, "path": {"length": 60, "curve": CURVE}}), {"/strands/0/path": "one-of"}),
    (bait({**TRUNK, "path": {"length": "0 mm"}}), {"/strands/0/path/length": "out-of-range"}),
    (bait({**TRUNK, "path": {"points": [[0, 0, 0]]}}), {"/strands/0/path/points": "not-a-list"}),
    (bait({**TRUNK, "path": {"points": [[0, 0], [1, 0, "x"]]}}), {
        "/strands/0/path/points/0": "not-a-list",
        "/strands/0/path/points/1/2": "not-a-length",
    }),
    (bait({**TRUNK, "path": {"curve": [{"point": [0, 0, 0]}, {"tangent": [1, 0, 0], "tension": 1}]}}), {
        "/strands/0/path/curve/0/tangent": "missing",
        "/strands/0/path/curve/1/point": "missing",
        "/strands/0/path/curve/1/tension": "unknown-member",
    }),
    (bait({**TRUNK, "girth": []}), {"/strands/0/girth": "not-a-list"}),
    (bait({**TRUNK, "girth": [{"at": 0, "width": 0.5}, {"at": 1}]}), {
        "/strands/0/girth/0/width": "out-of-range",
        "/strands/0/girth/1/width": "missing",
    }),
    (bait({**TRUNK, "girth": [{"at": 0, "width": 9, "height": 8, "back": 4}]}),
     {"/strands/0/girth/0/height": "one-or-the-other"}),
    (bait({**TRUNK, "girth": [{"at": 0, "width": 9, "belly": 4}]}), {"/strands/0/girth/0/back": "missing"}),
    (bait({**TRUNK, "section": {"upper": 1.4, "lower": 9, "floor": 0, "side": 2}}), {
        "/strands/0/section/upper": "out-of-range",
        "/strands/0/section/lower": "out-of-range",
        "/strands/0/section/floor": "out-of-range",
        "/strands/0/section/side": "unknown-member",
    }),
    (bait({**TRUNK, "relief": {}}), {"/strands/0/relief/kind": "missing"}),
    (bait({**TRUNK, "relief": {"kind": "scales"}}), {"/strands/0/relief/kind": "not-a-choice"}),
    (bait({**TRUNK, "relief": {"kind": "plain", "depth": 1}}), {"/strands/0/relief/depth": "unknown-member"}),
    (bait({**TRUNK, "relief": {"kind": "beads"}}), {"/strands/0/relief/count": "missing"}),
    (bait({**TRUNK, "relief": {**RIBS, "count": 5}}), {"/strands/0/relief/count": "one-or-the-other"}),
    (bait({**TRUNK, "relief": {**RIBS, "pitch": 9, "cover": "top"}}), {
        "/strands/0/relief/pitch": "out-of-range",
        "/strands/0/relief/cover": "not-a-choice",
    }),
    (bait({**TRUNK, "ends": {"root": "sharp", "tip": 99, "nose": "flat"}}), {
        "/strands/0/ends/root": "not-a-length",
        "/strands/0/ends/tip": "out-of-range",
        "/strands/0/ends/nose": "unknown-member",
    }),
    (bait({**TRUNK, "bands": [{"from": 0.2}]}), {"/strands/0/bands/0/to": "missing"}),
    (bait({**TRUNK, "yaw": 181, "rise": "up", "roll": None, "both_sides": 1}), {
        "/strands/0/yaw": "out-of-range",
        "/strands/0/rise": "not-a-number",
        "/strands/0/roll": "null",
        "/strands/0/both_sides": "not-a-flag",
    }),
    (bait(TRUNK, hollows=[{}]), {"/hollows/0/kind": "missing"}),
    (bait(TRUNK, hollows=[{"kind": "hole"}]), {"/hollows/0/kind": "not-a-choice"}),
    (bait(TRUNK, hollows=[less(SLOT, "strand", "to")]), {
        "/hollows/0/strand": "missing",
        "/hollows/0/to": "missing",
    }),
    (bait(TRUNK, hollows=[{**SLOT, "width": 9, "side": "left"}]), {
        "/hollows/0/width": "out-of-range",
        "/hollows/0/side": "not-a-choice",
    }),
    (bait(TRUNK, hollows=[{**SLOT, "path": {"length": 5}}]), {
        **{f"/hollows/0/{name}": "unknown-member" for name in ("from", "to")},
        "/hollows/0/girth": "missing",
    }),
    (bait(TRUNK, hollows=[{"kind": "bore", "strand": "body", "path": {"length": 5}, "girth": TRUNK["girth"]}]),
     {"/hollows/0/stations": "missing"}),
    (bait(TRUNK, hollows={}), {"/hollows": "not-a-list"}),
]  # fmt: skip


@pytest.mark.parametrize(("body", "expected"), SINGLY)
def test_each_value_is_refused_where_it_stands(body: Any, expected: dict[str, str]) -> None:
    assert codes(body) == expected
    with pytest.raises(InvalidRequest):
        read_request(body)


def _with(**changed: Any) -> dict[str, Any]:
    return {**TRUNK, **changed}


BEADS = {"kind": "beads", "count": 8}
HOOP = [[0, 0, 0], [20, 0, 0], [22, 2, 0], [20, 4, 0], [0, 4, 0]]

# What can stand singly and not together: pointer, code, and what would do.
TOGETHER: list[tuple[Any, str, str, Any]] = [
    (bait(TRUNK, TRUNK), "/strands/1/name", "name-taken", None),
    (bait(TRUNK, {**LEG, "both_sides": True}, {**LEG, "name": "left leg", "stations": [0.8]}), "/strands/2/name",
     "name-taken", None),
    (bait(TRUNK, {**LEG, "parent": "bodi"}), "/strands/1/parent", "unknown-strand", {"choices": ["body"]}),
    (bait(TRUNK, {**LEG, "parent": "bodi"}, {**LEG, "name": "toe", "parent": "leg"}), "/strands/1/parent",
     "unknown-strand", {"choices": ["body"]}),  # out of what grows out of it, it would be a circle
    (bait({**LEG, "parent": "bodi"}), "/strands/0/parent", "unknown-strand", None),
    (bait(_with(girth=[{"at": 1, "width": 8}, {"at": 0, "width": 7}])), "/strands/0/girth/1/at",
     "stations-out-of-order", None),  # behind the tip there is no place
    (bait(TRUNK, {**LEG, "parent": "leg"}), "/strands/1/parent", "parents-in-a-circle", None),
    (bait(TRUNK, {**LEG, "stations": {"from": 0, "to": 1, "count": 40}, "both_sides": True},
          {**LEG, "name": "hair", "parent": "leg", "stations": [0.5, 0.9]}), "/strands/2", "too-many-copies",
     {"maximum": 60}),
    (bait(TRUNK, {**LEG, "stations": ["61 mm"]}), "/strands/1/stations/0", "station-outside",
     {"minimum": 0, "maximum": 60, "unit": "mm"}),
    (bait(TRUNK, {**LEG, "start": [0, 9, 0]}), "/strands/1/stations/0", "root-outside", None),
    (bait(TRUNK, {**LEG, "path": {"length": 4}}), "/strands/1/stations/0", "root-outside", None),
    (bait(_with(path={"curve": [CURVE[0], {"point": [50, 0, 0], "tangent": [0, 0, 0]}]})),
     "/strands/0/path/curve/1/tangent", "no-way-on", None),
    (bait(_with(path={"points": [[0, 0, 0], [9, 0, 0], [0, 0, 0]]})), "/strands/0/path/points/1", "no-way-on", None),
    (bait(_with(path={"points": [[0, 0, 0], [0, 0, 0]]})), "/strands/0/path/points/1", "no-way-on", None),
    (bait(_with(path={"points": HOOP})), "/strands/0/path", "turns-too-tight", None),
    (bait(_with(girth=[{"at": 0.5, "width": 9}, {"at": "12 mm", "width": 8}])), "/strands/0/girth/1/at",
     "stations-out-of-order", {"minimum": "30.01 mm"}),
    (bait(_with(girth=[{"at": 0, "width": 9}, {"at": "3 in", "width": 8}])), "/strands/0/girth/1/at",
     "station-outside", {"minimum": 0, "maximum": 60, "unit": "mm"}),
    (bait(_with(girth=[{"at": 0, "width": 3.9}])), "/strands/0/girth", "trunk-too-thin",
     {"minimum": 4.0, "unit": "mm"}),
    (bait(_with(ends={"root": 40, "tip": 30})), "/strands/0/ends/root", "ends-too-long",
     {"maximum": 28.8, "unit": "mm"}),
    (bait(_with(bands=[{"from": 0.5, "to": 0.4}])), "/strands/0/bands/0/to", "ends-before-it-begins",
     {"minimum": "30.01 mm"}),
    (bait(_with(bands=[{"from": 0.1, "to": 0.4}, {"from": 0.3, "to": 0.5}])), "/strands/0/bands/1/from",
     "bands-overlap", {"minimum": "24 mm"}),
    (bait(_with(relief=BEADS, ends={"tip": "pointed"})), "/strands/0/ends", "ends-of-beads", None),
    (bait(_with(relief=BEADS, girth=[{"at": 0, "width": 9}, {"at": 1, "width": 9, "height": 8}])),
     "/strands/0/girth/1", "beads-uneven", {"back": 4.5, "belly": 4.5}),
    (bait(_with(relief={**BEADS, "core": {"height_share": 1.1}})), "/strands/0/relief/core/height_share",
     "core-too-high", {"minimum": 0.1, "maximum": 0.95}),
    (bait(_with(relief={"kind": "beads", "count": 200})), "/strands/0/relief/count", "beads-too-close",
     {"minimum": 2, "maximum": 34, "whole": True}),
    (bait(_with(relief=RIBS | {"from": 0.5, "to": "31 mm"})), "/strands/0/relief/to", "no-room",
     {"minimum": "31.5 mm", "maximum": 1}),
    (bait(_with(relief=RIBS | {"from": 0})), "/strands/0/relief/from", "no-room", {"minimum": "1.4 mm"}),
    (bait(_with(relief={"kind": "ribs", "count": 3})), "/strands/0/relief/count", "pitch",
     {"minimum": 5, "maximum": 24, "whole": True}),
    (bait(_with(relief=RIBS | {"depth": 3})), "/strands/0/relief/depth", "grooves-too-deep",
     {"maximum": 2.5, "unit": "mm"}),
    (bait(_with(relief=RIBS | {"land": 0.4})), "/strands/0/relief/land", "land-too-short",
     {"minimum": 0.6, "unit": "mm"}),
    (bait(_with(relief=RIBS | {"land": 2.5})), "/strands/0/relief/land", "groove-too-short",
     {"maximum": 2.1, "unit": "mm"}),
    (bait(_with(relief=RIBS, girth=[{"at": 0, "width": 60}, {"at": "40 mm", "width": 10}])), "/strands/0/relief/from",
     "girth-too-steep", None),
    (bait(TRUNK, _with(name="arch", path={"points": [[0, 0, 0], [30, 0, 9], [60, 0, 0]]})), "/strands/1/path",
     "trunk-not-level", None),
    (bait(TRUNK, hollows=[{**SLOT, "strand": "lobe"}]), "/hollows/0/strand", "unknown-strand", {"choices": ["body"]}),
    (bait(TRUNK, hollows=[{**SLOT, "to": 0.2}]), "/hollows/0/to", "ends-before-it-begins", {"minimum": "19 mm"}),
    (bait(TRUNK, hollows=[{**SLOT, "to": "99 mm"}]), "/hollows/0/to", "station-outside",
     {"minimum": 0, "maximum": 60, "unit": "mm"}),
    (bait(TRUNK, hollows=[{**SLOT, "depth": 9}]), "/hollows/0/depth", "slot-too-deep",
     {"minimum": 0.5, "maximum": 7.5, "unit": "mm"}),
    (bait({**TRUNK, "girth": [{"at": 0, "width": 4}]}, hollows=[{**SLOT, "width": 4}]), "/hollows/0/width",
     "slot-too-wide", {"minimum": 0.8, "maximum": 3.0, "unit": "mm"}),
    (bait(TRUNK, hollows=[{"kind": "inside", "strand": "body", "wall": 5}]), "/hollows/0/wall", "no-inside",
     {"minimum": 0.8, "maximum": 4.6, "unit": "mm"}),
    (bait(_with(relief=RIBS | {"depth": 2}), hollows=[{"kind": "inside", "strand": "body", "wall": 2.5}]),
     "/hollows/0/wall", "wall-cut-through", {"minimum": 2.8, "maximum": 4.6, "unit": "mm"}),
    (bait(TRUNK, hollows=[{"kind": "cut", "strand": "body", "count": 20, "width": 1}]), "/hollows/0/width",
     "cuts-too-wide", {"minimum": 0.2, "maximum": 0.7643, "unit": "mm"}),
    (bait(TRUNK, hollows=[{"kind": "pocket", "strand": "body", "stations": [0.5], "length": 3}]),
     "/hollows/0/length", "pocket-too-short", {"minimum": 4.0, "unit": "mm"}),
    (bait(TRUNK, hollows=[{"kind": "bore", "strand": "body", "stations": [0.5], "start": [0, 30, 0]}]), "/hollows/0",
     "misses-the-bait", None),
    (bait(TRUNK, hollows=[BALLOON]), "/hollows/0", "nothing-left", None),
    (bait(TRUNK, hollows=[{**BALLOON, "path": {"length": 40}}, {**BALLOON, "start": [30, 0, 0]}]), "/hollows",
     "nothing-left", None),
    (bait(TRUNK, hollows=[{"kind": "bore", "strand": "body", "stations": ["70 mm"]}]), "/hollows/0/stations/0",
     "station-outside", {"minimum": 0, "maximum": 60, "unit": "mm"}),
    (bait(TRUNK, hollows=[{"kind": "cut", "strand": "body", "count": 14}] * 6), "/hollows", "too-many-copies",
     {"maximum": 80}),
]  # fmt: skip


@pytest.mark.parametrize(("body", "pointer", "code", "allowed"), TOGETHER)
def test_what_cannot_stand_together_is_refused_before_any_work(
    body: Any, pointer: str, code: str, allowed: Any
) -> None:
    found = faults(body)
    assert {at: fault.code for at, fault in found.items()} == {pointer: code}
    assert found[pointer].allowed == allowed
    assert found[pointer].detail.endswith(".")
    with pytest.raises(InfeasibleRequest):
        read_request(body)


def test_a_turn_too_tight_says_which_radius_would_do() -> None:
    (fault,) = faults(bait(_with(path={"points": HOOP}))).values()
    assert "would do" in fault.detail


def test_every_fault_of_every_strand_and_hollow_is_told_at_once() -> None:
    wrong = {**TRUNK, "yaw": 999, "path": {"length": -1}}
    assert set(codes(bait(wrong, {**LEG, "kind": "arm"}, hollows=[{**SLOT, "width": 0}], detail=1))) == {
        "/strands/0/yaw",
        "/strands/0/path/length",
        "/strands/1/kind",
        "/hollows/0/width",
        "/detail",
    }
    apart = bait(
        _with(girth=[{"at": 0, "width": 1}]),
        {**LEG, "ends": {"tip": 55}},
        hollows=[{**SLOT, "strand": "nobody"}, {**SLOT, "strand": "no one"}],
    )
    assert set(codes(apart)) == {"/hollows/0/strand", "/hollows/1/strand"}
    apart["hollows"] = []
    assert set(codes(apart)) == {"/strands/0/girth", "/strands/1/ends/tip"}
    outside = {**LEG, "stations": [0.2, 0.4], "start": [0, 30, 0]}
    assert set(codes(bait(TRUNK, outside, {**LEG, "name": "arm", "path": {"length": 1}}))) == {
        "/strands/1/stations/0",
        "/strands/1/stations/1",
        "/strands/2/stations/0",
    }
