"""What long random sets found besides unsound solids: one bait each, with what is asked of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.request import read_request
from worker.request.merging import merged
from worker.solid.join import joined
from worker.solid.solid import Solid

Body = dict[str, Any]


def _built(body: Body) -> tuple[Subject, Solid]:
    subject = Subject(read_request(body))
    return subject, joined(subject.strands, float(body["tolerance_mm"]), subject.hollows)


def test_no_triangle_of_a_flat_belly_is_without_area() -> None:
    """At the upright face of a head the belly's corners stand in one line."""
    rings = {"kind": "rings", "from": 0.12, "to": 0.6, "count": 15, "depth": 0.1, "cover": "all"}
    strand = {
        "name": "body",
        "kind": "trunk",
        "path": {"length": 38.47},
        "girth": [{"at": 0.0, "width": 8.05}],
        "relief": rings,
        "section": {"floor": 2.2},
        "bands": [{"from": 0.0, "to": 0.08, "raised": 0.0, "head": "blunt"}],
    }
    _, solid = _built({"strands": [strand], "tolerance_mm": 0.1})
    a, b, c = (solid.vertices[solid.triangles[:, corner]] for corner in range(3))
    assert float(np.linalg.norm(np.cross(b - a, c - a), axis=1).min()) > 0


def test_a_flare_stays_on_a_flat_belly() -> None:
    """A ball beside its edge was rested on the round that the floor has cut away: the craw was 0.24 mm too high."""
    params = {"length": 95, "body_share": 0.375, "body_width": 14, "body_height": 11.808, "body_taper": 0.619}
    params |= {"core_width": 3.75, "lobe_overlap": 0.5, "rib_pitch": 1.5, "rib_depth": 0.4, "tail_fan": 25}
    params |= {"root_blend": 1.054, "nose_smooth": 40, "flat_belly": 0.4, "claw_length": 15, "claw_width": 15.791}
    params |= {"claw_thickness": 2.892, "wrist_width": 3.305, "wrist_height": 1.5, "claw_spread": 25, "claw_rise": 0}
    params |= {"finger_gap": 1.0, "leg_pairs": 0, "leg_root": 1.2, "leg_tip": 0.8}
    params |= {"feelers": 2, "feeler_length": 30, "feeler_root": 1.05}
    subject, solid = _built({"style": "craw", "params": params, "tolerance_mm": 0.05})
    assert solid.extent[1:] == pytest.approx((subject.size.max_width, subject.size.max_height), abs=0.1)


def test_a_coarse_mesh_of_caps_that_bulge_much_keeps_its_volume() -> None:
    """Rings that would have to move further than the tolerance allows become more rings."""
    params: Body = {"length": 50.001, "bead_diameter": 8.317, "core_diameter": 2.583, "joint_blend": 0, "taper": 1}
    params |= {"segment": "cone", "bead_length_ratio": 0.5, "core_height_ratio": 0.5, "bead_count": 15}
    subject, solid = _built({"style": "jointed_worm", "params": params, "tolerance_mm": 0.2})
    assert solid.volume == pytest.approx(subject.size.volume, rel=1e-4)


def test_asking_less_of_a_trunk_mends_what_its_limbs_lack_too() -> None:
    params: Body = {"length": 75.0, "carapace_height": 14.85, "carapace_width": 12.088, "taper": 0.385, "arch": 35.0}
    params |= {"root_blend": 0.534, "fan_length": 10.445, "fan_width": 2.5, "fan_thickness": 1.822, "feelers": 1}
    params |= {"eye_stalks": 2.091, "feeler_root": 1.801, "leg_pairs": 5, "leg_length": 12.456, "leg_tip": 1.331}
    body: Body = {"style": "shrimp", "params": {**params, "swimmerets": 4, "swimmeret_length": 5.0}}
    body["require"] = {"joint_pull_n": 52}
    (remedy,) = _joint_pull(body)["remedies"]
    assert set(remedy["patch"]) == {"params", "require"}
    assert _joint_pull(merged(body, remedy["patch"]))["verdict"] == "pass"


def _joint_pull(body: Body) -> Body:
    checks: list[Body] = estimate(read_request(body))["checks"]
    return next(check for check in checks if check["check"] == "joint_pull")
