"""Parts of moulds as another reader has them: closed, whole, fitting one way only, vents and pins in place."""

from __future__ import annotations

import hashlib
import zipfile
from io import BytesIO
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
import trimesh
from PIL import Image

from tests.mould.moulded import WORM, built, check, closed_up, part, shared
from worker.build import Built, build
from worker.checks.subject import Subject
from worker.mould import mould_of
from worker.mould.columns import columns_of
from worker.request import read_request
from worker.solid.join import joined

TUBE: dict[str, Any] = {"style": "tube", "params": {"length": 60, "outer": 12, "tentacles": 12}}
BORED: dict[str, Any] = {**WORM, "params": {**WORM["params"], "jig_bore": 2}}
EVERY = [
    (WORM, {}),
    (WORM, {"cavities": 4, "gate_at": "nose", "material": "resin"}),
    (WORM, {"material": "plaster", "fastening": "clamps"}),
    (WORM, {"kind": "open_pour", "cavities": 2, "material": "silicone"}),
    (BORED, {"kind": "injected_with_core"}),
    (TUBE, {"kind": "injected_with_core", "material": "silicone"}),
    (TUBE, {"kind": "dipped"}),
    ({"style": "pull_bar"}, {"material": "silicone"}),
    ({"style": "bend_rod"}, {"cavities": 2}),
    ({"style": "paddle_tail", "params": {"length": 70}}, {}),
]


def parts(bait: Built) -> list[str]:
    return [name.removesuffix(".stl") for name in bait.files if name.startswith("mould_") and name.endswith(".stl")]


@pytest.mark.parametrize(("request_", "mould"), EVERY)
def test_every_part_is_one_closed_piece(request_: dict[str, Any], mould: dict[str, Any]) -> None:
    bait = built(request_, **mould)
    assert parts(bait)
    for name in parts(bait):
        mesh = part(bait, name)
        assert mesh.is_watertight, name
        assert mesh.is_winding_consistent
        assert mesh.volume > 0
        assert mesh.body_count == 1
    assert bait.metrics["mould"]["balance"] < 1e-6


def test_files_follow_the_kind() -> None:
    halves = {"mould_lower", "mould_upper"}
    assert set(parts(built(WORM))) == halves
    assert set(parts(built(BORED, kind="injected_with_core"))) == {*halves, "mould_core"}
    assert set(parts(built(WORM, kind="open_pour", cavities=2, material="silicone"))) == {"mould_lower"}
    assert set(parts(built(TUBE, kind="dipped"))) == {"mould_core"}


def test_halves_meet_one_way_only() -> None:
    """With a dowel off its place a half that is turned round stands on the dowels of the other one."""
    bait = built(WORM, material="resin")
    lower, upper = part(bait, "mould_lower"), closed_up(part(bait, "mould_upper"))
    middle = (lower.bounds[0] + lower.bounds[1]) / 2
    assert shared(lower, upper) < 1e-3
    turned = upper.copy()
    turned.apply_transform(trimesh.transformations.rotation_matrix(np.pi, (0, 0, 1), (*middle[:2], 0)))
    assert shared(lower, turned) > 20


def test_a_pin_fits_its_seat_and_stands_out_to_be_drawn() -> None:
    bait = built(BORED, kind="injected_with_core")
    core = part(bait, "mould_core")
    for half in (part(bait, "mould_lower"), closed_up(part(bait, "mould_upper"))):
        assert shared(core, half) < 1e-3
        assert core.bounds[0][0] < half.bounds[0][0] - 5, "the pin of a jig bore comes out at the nose"
    (pin,) = bait.metrics["mould"]["pins"]
    assert pin["hollow"] == "jig bore"
    assert pin["diameter_mm"] == pytest.approx(2 / 0.98, rel=1e-3)


@pytest.mark.parametrize("mould", [{}, {"cavities": 2}, {"cavities": 3, "material": "resin"}])
def test_bolts_and_dowels_keep_off_the_pins(mould: dict[str, Any]) -> None:
    """Around each hole through a half there is a rim of face: no seat of a pin runs into it."""
    request = read_request({**TUBE, "mould": {"kind": "injected_with_core", **mould}})
    subject = Subject(request)
    built_mould = mould_of(subject, joined(subject.strands, request.tolerance, subject.hollows))
    assert built_mould is not None
    plan = built_mould.plan
    assert plan is not None
    (pin,) = built_mould.pins
    for placed in plan.placed:
        begin, end = placed.points(np.array([pin.mouth, pin.support]))
        far = begin + (end - begin) * 20
        for places, radius in ((plan.block.bolts, 2.75), (plan.block.dowels, 3.1)):
            for place in places:
                run = far - begin
                share = np.clip(((np.array(place) - begin) * run).sum() / (run * run).sum(), 0, 1)
                apart = np.hypot(*(begin + share * run - np.array(place)))
                assert apart >= pin.radius + radius + 1


def test_a_pin_narrows_inward() -> None:
    """Half a degree to each side over 20 mm takes 0.35 mm of the diameter: 2 L tan 0.5 deg."""
    bait = built(TUBE, kind="dipped")
    core = part(bait, "mould_core")
    mouth, inner = (_width(core, share * 60 / 0.98) for share in (0.98, 0.5))
    assert mouth - inner == pytest.approx(2 * np.tan(np.radians(0.5)) * 0.48 * 60 / 0.98, abs=0.02)


def _width(mesh: trimesh.Trimesh, x: float) -> float:
    section = mesh.section(plane_origin=(x, 0, 0), plane_normal=(1, 0, 0))
    assert section is not None
    return float(np.ptp(section.vertices[:, 1]))


@pytest.mark.parametrize(("material", "depth"), [("aluminium", 0.1), ("resin", 0.15), ("silicone", 0.2)])
def test_vents_are_as_deep_as_the_material_takes(material: str, depth: float) -> None:
    """0.1 to 0.4 mm at the tips by hand, common practice without a source; 1.5 mm of land, then deeper, to the edge."""
    bait = built(WORM, material=material)
    told = bait.metrics["mould"]
    assert told["vents"] == 2
    lower = part(bait, "mould_lower")
    columns = columns_of(np.asarray(lower.vertices), np.asarray(lower.faces), 0.2)
    last = np.append(np.flatnonzero(np.diff(columns.line)), len(columns.line) - 1)
    tops = -columns.high[last]
    land = (np.abs(tops - depth) < 1e-4).sum() * columns.cell**2
    assert land == pytest.approx(2 * 1.5 * 3.0, rel=0.25), "two lands of 1.5 x 3 mm"
    assert (np.abs(tops - 0.5) < 1e-4).sum() * columns.cell**2 > 2 * 4 * 5, "two escapes 4 mm wide to the edge"


def test_the_package_holds_every_part_side_by_side() -> None:
    bait = built(BORED, kind="injected_with_core")
    with zipfile.ZipFile(BytesIO(bait.files["mould.3mf"])) as archive:
        model = ElementTree.fromstring(archive.read("3D/3dmodel.model"))
    space = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
    objects = {each.get("id"): each.get("name") for each in model.iter(f"{space}object")}
    assert list(objects.values()) == ["lower", "upper", "core"]
    reaches = []
    for item in model.iter(f"{space}item"):
        (body,) = (each for each in model.iter(f"{space}object") if each.get("id") == item.get("objectid"))
        ys = [float(each.get("y", "")) for each in body.iter(f"{space}vertex")]
        moved = float(item.get("transform", "").split()[10])
        reaches.append((min(ys) + moved, max(ys) + moved))
    assert reaches[0][0] == pytest.approx(0)
    for (_, end), (begin, _) in pairwise(reaches):
        assert begin - end == pytest.approx(10, abs=1e-4)


def test_pictures_show_each_half_and_hatch_undercuts() -> None:
    plain, bad = built(WORM), built(WORM, parting={"form": "flat", "turn_deg": 0, "height": 2.5})
    for bait in (plain, bad):
        for half in ("lower", "upper"):
            image = Image.open(BytesIO(bait.files[f"mould_{half}.png"]))
            assert image.format == "PNG"
            assert min(image.size) > 200
    ink = [_dark(bait.files["mould_lower.png"]) for bait in (plain, bad)]
    assert ink[1] > 1.1 * ink[0]
    assert check(bad, "undercut")["where"]["half"] == "lower"


def _dark(picture: bytes) -> int:
    return int((np.asarray(Image.open(BytesIO(picture)).convert("L")) < 60).sum())


def test_the_same_request_has_the_same_bytes() -> None:
    request = {**BORED, "mould": {"kind": "injected_with_core", "cavities": 2}, "outputs": ["mould"]}
    digests = []
    for _ in range(2):
        files = build(read_request(request)).files
        digests.append({name: hashlib.sha256(content).hexdigest() for name, content in files.items()})
    assert digests[0] == digests[1]
