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
CRUMB = 1e-2
"""Parts that are missing and smaller than this, mm3, are not looked at."""


def body(mesh: Mesh) -> manifold3d.Manifold:
    vertices, triangles = mesh
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(vertices), tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64)
        )
    )


def united(meshes: list[Mesh]) -> manifold3d.Manifold:
    return manifold3d.Manifold.batch_boolean([body(mesh) for mesh in meshes], manifold3d.OpType.Add)


def left_out(subject: Subject) -> tuple[float, float]:
    """What is missing, over the limb's volume, and mm of the thickest part of it: twice its volume over its surface."""
    limb, tolerance = subject.limbs[0], subject.request.tolerance
    around = corners(widest(limb), tolerance, limb.body.section)
    own = [
        skin(limb.path, place_rings(limb.body, limb.path, begin, end, tolerance), around, limb.body.section)
        for begin, end in limb.body.runs
    ]
    bare = united(own)
    missing = bare - united([*meshes_of_one(limb, tolerance), *meshes_of_one(subject.trunk, tolerance)])
    parts = [part for part in missing.decompose() if part.volume() > CRUMB]
    thickest = max((2 * part.volume() / part.surface_area() for part in parts), default=0.0)
    return float(missing.volume() / bare.volume()), float(thickest)


def assert_nothing_left_out(request: dict[str, Any]) -> None:
    subject = Subject(read_request(request))
    share, thickest = left_out(subject)
    assert share < SHARE
    assert thickest < subject.request.tolerance


def leaning(
    trunk: float,
    relief: dict[str, Any],
    limb: float,
    yaw: float,
    rise: float,
    blend: float,
    tolerance: float = 0.05,
    *,
    length: float = 25,
) -> dict[str, Any]:
    girth = [{"at": 0, "width": trunk}, {"at": 1, "width": trunk}]
    leg: dict[str, Any] = {"name": "leg", "kind": "leg", "parent": "body", "stations": [0.4], "yaw": yaw, "rise": rise}
    leg |= {"path": {"length": length}, "girth": [{"at": 0, "width": limb}], "root_blend": blend}
    trunk_strand = {"name": "body", "kind": "trunk", "path": {"length": 70}, "girth": girth, "relief": relief}
    return {"tolerance_mm": tolerance, "strands": [trunk_strand, leg]}


def ribs(pitch: float, depth: float) -> dict[str, Any]:
    return {"kind": "ribs", "pitch": pitch, "depth": depth, "edge": 0.25}


def test_a_limb_that_leans_far_keeps_its_round_tip() -> None:
    """Its flare's far foot stands beside the tip, whose rings lie closer than those along the limb."""
    assert_nothing_left_out(leaning(9.95, {"kind": "plain"}, 6.63, 21, -5, 0.77))


def test_a_limb_over_a_groove_keeps_its_side() -> None:
    assert_nothing_left_out(leaning(13.82, ribs(4.81, 1.75), 7.91, 35, -15, 1.61, 0.1))


def test_a_limb_whose_flat_root_stands_in_a_groove_keeps_it() -> None:
    assert_nothing_left_out(leaning(10.19, ribs(4.16, 2.52), 6.84, 84, 33, 1.62))


def test_a_stub_keeps_the_round_tip_that_is_all_of_it_outside() -> None:
    """A ball that stood square to its path lay in the tip, and 0.1 mm of it was missing."""
    assert_nothing_left_out(leaning(14.98, {"kind": "plain"}, 4.14, 88.97, 24.6, 2.55, length=9.32))


def test_a_groove_between_two_corners_is_seen() -> None:
    """A groove as wide as a side of a ring: 0.1 mm of the root was missing there, up to 0.26 mm deep."""
    assert_nothing_left_out(leaning(6.48, ribs(3.83, 0.74), 4.37, 89.76, 5.12, 1.25, length=10.78))


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_no_limb_leaves_anything_of_itself_out(data: st.DataObject) -> None:
    def drawn(low: float, high: float) -> float:
        return round(data.draw(st.floats(low, high)), 2)

    trunk = drawn(6, 20)
    relief = data.draw(st.sampled_from([{"kind": "plain"}, ribs(drawn(2, 6), drawn(0.3, 3))]))
    limb, yaw, rise = drawn(2, min(trunk, 8)), drawn(15, 90), drawn(-40, 40)
    request = leaning(trunk, relief, limb, yaw, rise, drawn(0.1, 3), length=drawn(8, 25))
    try:
        read_request(request)
    except RequestRejected:
        return
    assert_nothing_left_out(request)
