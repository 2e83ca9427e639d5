"""A limb's mesh with its flare, together with its parent's, holds all of the limb itself.

The reference is the limb's own mesh without a flare, and the kernel's boolean operations.
"""

from __future__ import annotations

from typing import Any

import manifold3d
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.checks.subject import Subject
from worker.errors import RequestRejected
from worker.request import read_request
from worker.solid.rings import place_rings, skin
from worker.solid.trunk import Mesh, meshes_of_one, widest
from worker.strands.fineness import corners

SHARE = 2e-3
"""Of a limb's volume, that may be missing: its surface may lie as far off as the tolerance allows."""


def body(mesh: Mesh) -> manifold3d.Manifold:
    vertices, triangles = mesh
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(vertices), tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64)
        )
    )


def united(meshes: list[Mesh]) -> manifold3d.Manifold:
    return manifold3d.Manifold.batch_boolean([body(mesh) for mesh in meshes], manifold3d.OpType.Add)


def share_left_out(subject: Subject) -> float:
    limb, tolerance = subject.limbs[0], subject.request.tolerance
    around = corners(widest(limb), tolerance, limb.body.section)
    own = [
        skin(limb.path, place_rings(limb.body, limb.path, begin, end, tolerance), around, limb.body.section)
        for begin, end in limb.body.runs
    ]
    bare = united(own)
    missing = bare - united([*meshes_of_one(limb, tolerance), *meshes_of_one(subject.trunk, tolerance)])
    return float(missing.volume() / bare.volume())


def leaning(
    trunk: float, relief: dict[str, Any], limb: float, yaw: float, rise: float, blend: float, tolerance: float = 0.05
) -> dict[str, Any]:
    girth = [{"at": 0, "width": trunk}, {"at": 1, "width": trunk}]
    leg: dict[str, Any] = {"name": "leg", "kind": "leg", "parent": "body", "stations": [0.4], "yaw": yaw, "rise": rise}
    leg |= {"path": {"length": 25}, "girth": [{"at": 0, "width": limb}], "root_blend": blend}
    trunk_strand = {"name": "body", "kind": "trunk", "path": {"length": 70}, "girth": girth, "relief": relief}
    return {"tolerance_mm": tolerance, "strands": [trunk_strand, leg]}


def ribs(pitch: float, depth: float) -> dict[str, Any]:
    return {"kind": "ribs", "pitch": pitch, "depth": depth, "edge": 0.25}


def test_a_limb_that_leans_far_keeps_its_round_tip() -> None:
    """Its flare's far foot stands beside the tip, whose rings lie closer than those along the limb."""
    request = leaning(9.95, {"kind": "plain"}, 6.63, 21, -5, 0.77)
    assert share_left_out(Subject(read_request(request))) < SHARE


def test_a_limb_over_a_groove_keeps_its_side() -> None:
    request = leaning(13.82, ribs(4.81, 1.75), 7.91, 35, -15, 1.61, 0.1)
    assert share_left_out(Subject(read_request(request))) < SHARE


def test_a_limb_whose_flat_root_stands_in_a_groove_keeps_it() -> None:
    request = leaning(10.19, ribs(4.16, 2.52), 6.84, 84, 33, 1.62)
    assert share_left_out(Subject(read_request(request))) < SHARE


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_no_limb_leaves_anything_of_itself_out(data: st.DataObject) -> None:
    def drawn(low: float, high: float) -> float:
        return round(data.draw(st.floats(low, high)), 2)

    trunk = drawn(6, 20)
    relief = data.draw(st.sampled_from([{"kind": "plain"}, ribs(drawn(2, 6), drawn(0.3, 3))]))
    limb, yaw, rise = drawn(2, min(trunk, 8)), drawn(15, 90), drawn(-40, 40)
    try:
        subject = Subject(read_request(leaning(trunk, relief, limb, yaw, rise, drawn(0.1, 3))))
    except RequestRejected:
        return
    assert share_left_out(subject) < SHARE
