"""What every bait with limbs owes: its exact length, a sound solid, faults with what would do, remedies that mend."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import strategies as st

from tests.property.drawn import for_all
from tests.styles.limbed import (
    TOLERANCE,
    Body,
    bad_bodies,
    bodies,
    built,
    checks_of,
    edges_by_place,
    faults_of,
    mended_by,
    solid_of,
    strands_of,
)
from worker.checks.subject import Subject
from worker.request import read_request
from worker.strands.self_meeting import runs_into_itself
from worker.strands.turning import too_tight
from worker.styles import STYLES

NAMES = ("creature", "shrimp", "lizard")


@pytest.mark.parametrize("name", NAMES)
def test_the_plain_bait_and_the_example_pass_every_check(name: str) -> None:
    for body in ({"style": name}, dict(STYLES[name].example)):
        verdicts = {name: check["verdict"] for name, check in checks_of(read_request(body)).items()}
        assert set(verdicts.values()) == {"pass"}, verdicts


@pytest.mark.parametrize("name", NAMES)
def test_the_plain_bait_is_as_long_as_asked_in_one_piece_and_the_same_on_both_sides(name: str) -> None:
    solid = solid_of(name)
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    assert solid.extent[0] == pytest.approx(STYLES[name].defaults()["length"], abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)
    low, high = solid.vertices.min(axis=0), solid.vertices.max(axis=0)
    if name == "lizard":  # its tail curls to one side; the rest is even
        solid_of_limbs = solid_of(name, tail="spike")
        low, high, solid = solid_of_limbs.vertices.min(axis=0), solid_of_limbs.vertices.max(axis=0), solid_of_limbs
    assert low[1] == pytest.approx(-high[1], abs=1e-4)
    half = solid.body.trim_by_plane((0.0, 1.0, 0.0), 0.0)
    assert half.volume() == pytest.approx(solid.volume / 2, rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_right_limbs_are_the_left_ones_handed(name: str) -> None:
    strands = strands_of(name)
    lefts = [strand for strand in strands.values() if strand.name.startswith("left")]
    assert len(lefts) >= 2
    for left in lefts:
        right = strands[left.name.replace("left", "right")]
        at = left.path.length * np.arange(9) / 8
        assert np.array_equal(right.path.frames(at)[0], left.path.frames(at)[0] * [1, -1, 1])
        assert right.root is not None and left.root is not None
        assert (right.root.parent, right.root.leaves) == (left.root.parent, left.root.leaves)


@for_all(st.sampled_from(NAMES).flatmap(bodies), quick=4, proof=1000)
def test_every_bait_that_is_taken_is_sound(body: Body) -> None:
    """Closed, outward, its exact length, pieces and figures told rightly without a mesh, no path that folds."""
    subject = Subject(read_request(body))
    solid, size, length = built(subject, TOLERANCE), subject.size, float(subject.request.params["length"])
    assert len(solid.parts) == subject.pieces
    assert all(part.volume() > 0 for part in solid.parts)
    assert (edges_by_place(solid) == 2).all()
    assert solid.through_holes == 0
    assert solid.extent[0] == pytest.approx(length, abs=TOLERANCE)
    assert size.length == pytest.approx(length, abs=0.002)
    assert size.volume == pytest.approx(solid.volume, rel=0.01)
    assert solid.extent[1:] == pytest.approx((size.max_width, size.max_height), abs=2 * TOLERANCE)
    for strand in subject.strands:
        assert too_tight(strand) is None and runs_into_itself(strand) is None


@for_all(st.sampled_from(NAMES).flatmap(bad_bodies), quick=2, proof=500)
def test_every_remedy_mends_its_check_and_a_weak_joint_has_one(body: Body) -> None:
    for name, check in checks_of(read_request(body)).items():
        for remedy in check["remedies"]:
            assert mended_by(body, json.loads(json.dumps(remedy["patch"])), name) == "pass", (name, remedy["text"])
        if name == "joint_pull" and check["verdict"] == "fail":
            assert check["remedies"], check["text"]


TOO_MUCH: dict[str, list[tuple[dict[str, Any], str, str]]] = {
    "creature": [
        ({"rib_depth": 3}, "/params/rib_depth", "ribs-too-deep"),
        ({"ribs_from": 0.5, "ribs_to": 0.4}, "/params/ribs_to", "ribs-too-short"),
        ({"groups": [{"tip": 3}]}, "/params/groups/0/tip", "tip-too-thick"),
        ({"groups": [{"root": 8, "tip": 2}], "body_height": 8}, "/params/groups/0/root", "root-too-thick"),
        ({"groups": [{}, {"kind": "flapper", "width": 3}]}, "/params/groups/1/width", "blade-too-narrow"),
        ({"groups": [{"kind": "wing", "width": 30}]}, "/params/groups/0/width", "blade-too-wide"),
        ({"groups": [{"pairs": 2, "from": 0.6, "to": 0.5}]}, "/params/groups/0/to", "pairs-in-one-place"),
        ({"groups": [{"pairs": 8, "from": 0.5, "to": 0.6}]}, "/params/groups/0/pairs", "limbs-too-close"),
        ({"groups": [{"pairs": 8, "every": 5}]}, "/params/groups/0/pairs", "too-few-ribs"),
        ({"groups": [{"every": 1}], "rib_depth": 0}, "/params/groups/0/every", "no-ribs"),
        ({"groups": [{"pairs": 3, "every": 1, "root": 5}]}, "/params/groups/0/every", "limbs-too-close"),
        ({"groups": [{"kind": "flapper", "from": 0.9, "length": 90, "sweep": 80}]}, "/params/groups/0/length",
         "limbs-too-long"),
        ({"groups": [{"length": 40, "from": 0.4, "sweep": 60}, {"length": 40, "from": 0.45, "sweep": 20}]},
         "/params/groups/1/length", "limbs-too-close"),
        ({"groups": [{"kind": "curl", "length": 20, "width": 14}]}, "/params/groups/0/width", "turns-too-tight"),
    ],
    "shrimp": [
        ({"plate_depth": 2}, "/params/plate_depth", "plates-too-deep"),
        ({"fan_width": 14}, "/params/fan_width", "root-too-thick"),
        ({"fan_thickness": 5, "carapace_height": 8}, "/params/fan_thickness", "root-too-thick"),
        ({"swimmerets": 6, "segments": 4}, "/params/swimmerets", "too-few-segments"),
        ({"leg_tip": 2.5}, "/params/leg_tip", "tip-too-thick"),
        ({"feeler_root": 3, "carapace_width": 5}, "/params/feeler_root", "root-too-thick"),
        ({"leg_root": 4, "leg_tip": 2}, "/params/leg_pairs", "legs-too-close"),
        ({"length": 50, "leg_pairs": 0, "segments": 8, "fan_length": 18}, "/params/carapace", "no-abdomen"),
        ({"length": 55, "arch": 110, "carapace_height": 20, "carapace_width": 14, "carapace": 40}, "/params/arch",
         "turns-too-tight"),
        ({"feeler_length": 100}, "/params/feeler_length", "past-the-end"),
        ({"eye_stalks": 6}, "/params/eye_stalks", "limbs-too-close"),
        ({"swimmeret_length": 14}, "/params/leg_root", "limbs-too-close"),
    ],
    "lizard": [
        ({"head_width": 6, "body_width": 16}, "/params/head_width", "head-too-small"),
        ({"head_length": 40}, "/params/front_legs", "legs-in-the-neck"),
        ({"hind_legs": 25}, "/params/hind_legs", "legs-too-close"),
        ({"hind_legs": 75}, "/params/hind_legs", "legs-on-the-tail"),
        ({"leg_tip": 5}, "/params/leg_tip", "tip-too-thick"),
        ({"leg_root": 8}, "/params/leg_root", "root-too-thick"),
        ({"leg_length": 10, "leg_root": 6}, "/params/leg_length", "legs-too-short"),
        ({"foot": "curl", "foot_width": 14}, "/params/foot_width", "foot-too-wide"),
        ({"leg_length": 60, "leg_sweep": 60, "knee": 110, "hind_legs": 35}, "/params/leg_length", "limbs-too-close"),
    ],
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "changes", "pointer", "code"), [(name, *row) for name, rows in TOO_MUCH.items() for row in rows]
)
def test_what_cannot_stand_together_is_told_with_what_would_do(
    name: str, changes: dict[str, Any], pointer: str, code: str
) -> None:
    found = faults_of(name, **changes)
    assert pointer in found and found[pointer][0] == code, found
    allowed = found[pointer][1]
    assert allowed is not None
    again = faults_of(name, **_with(changes, pointer, allowed))
    assert again.get(pointer, ("",))[0] != code, again


def _with(changes: dict[str, Any], pointer: str, allowed: dict[str, Any]) -> dict[str, Any]:
    """The nearest value that is allowed, put in."""
    changes = json.loads(json.dumps(changes))
    target, *path = changes, *pointer.split("/")[2:]
    for key in path[:-1]:
        target = target[int(key) if isinstance(target, list) else key]
    target[path[-1]] = allowed.get("maximum", allowed.get("minimum"))
    return changes
