"""`bait.glb` against glTF 2.0 (Khronos Group), read by a reader of our own, by trimesh and by the Khronos validator."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
import trimesh

from tests.files.glb_reader import ReadGlb, read_glb
from tests.files.shapes import Shape, craw, sphere, volume_of, worm
from tests.requires import must_be_here, requires
from worker.files.display import display_mesh
from worker.files.glb import write_glb
from worker.files.table import FILES
from worker.picture.core import core_mesh
from worker.picture.finish import Finish
from worker.picture.lie import CoreShot, Laminate

OLIVE = (0.147, 0.27, 0.017)
SHAPES = {"sphere": sphere, "worm": worm, "craw": craw}
VALIDATOR = Path(__file__).parent / "validator"
INSTALLED = Path(__file__).parents[2] / "build" / "gltf-validator"


def glb_of(shape: Shape, deviation_mm: float = 0.1) -> bytes:
    return write_glb(shape.vertices, shape.triangles, Finish(OLIVE), deviation_mm=deviation_mm)


@pytest.fixture(scope="module", params=list(SHAPES))
def shape(request: pytest.FixtureRequest) -> Shape:
    return SHAPES[request.param]()


@pytest.fixture(scope="module")
def glb(shape: Shape) -> ReadGlb:
    return read_glb(glb_of(shape))


def test_the_media_type_is_the_registered_one() -> None:
    # IANA, Media Types, model: gltf-binary (registered by the Khronos Group).
    assert (FILES["bait.glb"].output, FILES["bait.glb"].media_type) == ("glb", "model/gltf-binary")


def test_it_is_light() -> None:
    assert len(glb_of(worm())) < 250_000
    assert len(glb_of(craw())) < 800_000


def test_it_is_the_display_mesh_in_metres_with_y_up(shape: Shape, glb: ReadGlb) -> None:
    mesh = display_mesh(shape.vertices, shape.triangles)
    step = glb.header["nodes"][0]["scale"][0] * 1000
    assert step < np.ptp(shape.vertices, axis=0).max() / 65000
    assert np.abs(glb.in_our_axes - mesh.vertices[mesh.owner]).max() <= step / 2 + 2e-6  # nanometres
    assert np.array_equal(glb.triangles, mesh.corners)
    assert np.abs(glb.normals_in_our_axes - mesh.normals).max() <= 0.5 / 127 + 1e-12
    back = glb.positions[glb.in_our_axes[:, 2].argmax()]
    assert back[1] == glb.positions[:, 1].max()


def test_its_volume_is_the_baits(shape: Shape, glb: ReadGlb) -> None:
    assert volume_of(glb.in_our_axes, glb.triangles) == pytest.approx(shape.body.volume(), rel=2e-3)


def test_a_reader_without_the_extension_sees_the_size(shape: Shape) -> None:
    scene = trimesh.load(io.BytesIO(glb_of(shape)), file_type="glb")
    x, y, z = np.ptp(shape.vertices, axis=0) / 1000
    assert np.ptp(scene.bounds, axis=0) == pytest.approx([x, z, y], abs=2e-4)


@pytest.mark.parametrize(("segments", "kind"), [(508, 5123), (560, 5125)])
def test_indices_are_as_short_as_they_can_be(segments: int, kind: int) -> None:
    # 5123 is UNSIGNED_SHORT, 5125 UNSIGNED_INT; 65535 is no index (3.7.2.1: it restarts a primitive).
    ball = sphere(9.0, segments)
    glb = read_glb(glb_of(ball, deviation_mm=0))
    assert (len(ball.vertices) <= 65535) == (kind == 5123)
    assert glb.header["accessors"][2]["componentType"] == kind
    assert glb.triangles.max() == len(ball.vertices) - 1


def test_extensions_are_named_and_only_the_needed_one_required(glb: ReadGlb) -> None:
    (material,) = glb.header["materials"]
    assert glb.header["extensionsRequired"] == ["KHR_mesh_quantization"]
    assert set(glb.header["extensionsUsed"]) == {*material["extensions"], "KHR_mesh_quantization"}


def test_the_material_is_of_the_finish() -> None:
    # The mean way through a ball is 4/3 of its radius (four times volume over surface); KHR_materials_volume counts
    # it in the mesh's own units, and the distance of attenuation in metres.
    # The clarity is the share of light that goes in, 0.7 mm + 8 mm of its square how far: judgement, told in `Finish`.
    ball = sphere(9.0, 200)
    glb = read_glb(write_glb(ball.vertices, ball.triangles, Finish(OLIVE, translucency=0.5)))
    (material,) = glb.header["materials"]
    assert material["pbrMetallicRoughness"]["baseColorFactor"] == [*OLIVE, 1.0]
    assert material["pbrMetallicRoughness"]["metallicFactor"] == 0
    assert "emissiveFactor" not in material
    assert material["extensions"]["KHR_materials_transmission"]["transmissionFactor"] == pytest.approx(0.6 * 0.5)
    volume = material["extensions"]["KHR_materials_volume"]
    assert volume["attenuationDistance"] == pytest.approx(4 * 2.7e-3)
    assert volume["attenuationColor"] == list(OLIVE)
    thickness = volume["thicknessFactor"] * glb.header["nodes"][0]["scale"][0] * 1000
    assert thickness == pytest.approx(4 / 3 * 9.0, rel=2e-3)
    # Plasticised PVC bends light a little more than glass of 1.5, which a viewer takes where nothing is said.
    assert 1.5 < material["extensions"]["KHR_materials_ior"]["ior"] < 1.56


def test_what_fluoresces_gives_off_some_of_its_own_colour() -> None:
    ball = sphere()
    glb = read_glb(write_glb(ball.vertices, ball.triangles, Finish(OLIVE, fluorescent=True)))
    (material,) = glb.header["materials"]
    emitted, colour = material["emissiveFactor"], material["pbrMetallicRoughness"]["baseColorFactor"]
    assert all(0 < light < own for light, own in zip(emitted, colour, strict=False))


def two_tone(shape: Shape, height: float) -> Finish:
    return Finish(OLIVE, lie=Laminate((OLIVE, (0.8, 0.7, 0.1)), (height,)))


def test_each_plastic_of_a_laminate_has_its_own_triangles(shape: Shape) -> None:
    """Together they are the whole display mesh: where it is cut nothing is moved, opened or lost."""
    low, high = shape.vertices[:, 2].min(), shape.vertices[:, 2].max()
    height = float(0.4 * low + 0.6 * high)
    glb = read_glb(write_glb(shape.vertices, shape.triangles, two_tone(shape, height)))
    step = glb.header["nodes"][0]["scale"][0] * 1000
    upper, lower = (glb.in_our_axes[glb.parts[number]][..., 2] for number in (0, 1))
    assert upper.min() >= height - step and lower.max() <= height + step
    colours = [each["pbrMetallicRoughness"]["baseColorFactor"][:3] for each in glb.header["materials"]]
    assert colours == [list(OLIVE), [0.8, 0.7, 0.1]]
    whole = read_glb(glb_of(shape))
    assert volume_of(glb.in_our_axes, glb.triangles) == pytest.approx(
        volume_of(whole.in_our_axes, whole.triangles), rel=1e-5
    )
    _, number = np.unique(np.rint(glb.in_our_axes / step), axis=0, return_inverse=True)
    corners = number.reshape(-1)[glb.triangles]
    corners = corners[(corners != np.roll(corners, 1, axis=1)).all(axis=1)]  # what 2 micrometres make one place
    directed = {}
    for a, b in np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]]).tolist():
        directed[a, b] = directed.get((a, b), 0) + 1
    assert all(directed.get((b, a)) == count for (a, b), count in directed.items()), "closed"


def test_normals_stay_of_length_one_where_a_laminate_is_cut(shape: Shape) -> None:
    glb = read_glb(write_glb(shape.vertices, shape.triangles, two_tone(shape, 0.1)))
    assert np.abs(np.linalg.norm(glb.normals, axis=1) - 1).max() < 0.01  # in steps of 1/127


def test_a_laminate_all_of_one_plastic_has_one_material() -> None:
    glb = read_glb(write_glb(sphere().vertices, sphere().triangles, two_tone(sphere(), -100.0)))
    assert len(glb.header["materials"]) == 1


def test_a_core_is_an_opaque_body_of_its_own_within_the_bait() -> None:
    ball, line = sphere(9.0), np.stack([np.linspace(-4, 4, 9), np.zeros(9), np.zeros(9)], axis=1)
    points, faces = core_mesh(line + ball.vertices.mean(axis=0), 2.0)
    glb = read_glb(
        write_glb(ball.vertices, ball.triangles, Finish(OLIVE, lie=CoreShot((OLIVE, (0.9, 0.1, 0.0)), points, faces)))
    )
    assert [node["name"] for node in glb.header["nodes"]] == ["bait", "core"]
    assert volume_of(glb.in_our_axes, glb.triangles) == pytest.approx(ball.body.volume(), rel=2e-3)
    # A rod of 8 mm with half a ball at either end: pi r^2 l + 4/3 pi r^3; 24 corners hold 98.9 % of a circle.
    assert volume_of(glb.in_our_axes, glb.parts[1]) == pytest.approx(np.pi * 4 * 8 + 4 / 3 * np.pi * 8, rel=0.03)
    assert "extensions" not in glb.header["materials"][1]


@pytest.fixture(scope="module")
def validator() -> Path:
    """The folder that has the validator, installed once from the committed lock."""
    wanted = json.loads((VALIDATOR / "package.json").read_text())["dependencies"]["gltf-validator"]
    manifest = INSTALLED / "node_modules" / "gltf-validator" / "package.json"
    if not manifest.exists() or json.loads(manifest.read_text())["version"] != wanted:
        INSTALLED.mkdir(parents=True, exist_ok=True)
        for name in ("package.json", "package-lock.json"):
            shutil.copy(VALIDATOR / name, INSTALLED / name)
        npm = shutil.which("npm")
        command = [npm or "npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"]
        if npm is None or subprocess.run(command, cwd=INSTALLED, capture_output=True, timeout=120).returncode:
            told = f"The Khronos validator could not be installed ({' '.join(command)} in {INSTALLED})"
            pytest.fail(told) if "node" in must_be_here() else pytest.skip(told)
    return INSTALLED


@requires("node")
def test_the_khronos_validator_finds_nothing_to_say(validator: Path, tmp_path: Path) -> None:
    cases = {name: glb_of(make()) for name, make in SHAPES.items()}
    cases["long indices"] = glb_of(sphere(9.0, 560), deviation_mm=0)
    cases["black"] = write_glb(sphere().vertices, sphere().triangles, Finish((0, 0, 0), translucency=0))
    cases["white"] = write_glb(sphere().vertices, sphere().triangles, Finish((1, 1, 1), 1, fluorescent=True))
    cases["laminate"] = write_glb(craw().vertices, craw().triangles, two_tone(craw(), 0.1))
    rod = core_mesh(np.stack([np.linspace(30, 90, 9), np.zeros(9), np.zeros(9)], axis=1), 1.5)
    cases["core shot"] = write_glb(worm().vertices, worm().triangles, Finish(OLIVE, lie=CoreShot((OLIVE, OLIVE), *rod)))
    paths = []
    for name, content in cases.items():
        paths.append(tmp_path / f"{name}.glb")
        paths[-1].write_bytes(content)
    node = shutil.which("node") or shutil.which("nodejs") or "node"
    done = subprocess.run(
        [node, VALIDATOR / "validate.cjs", validator, *paths], capture_output=True, text=True, timeout=120, check=True
    )
    reports = dict(zip(cases, map(json.loads, done.stdout.splitlines()), strict=True))
    assert {name: report["issues"]["messages"] for name, report in reports.items()} == {name: [] for name in cases}
    assert reports["worm"]["info"]["totalTriangleCount"] <= 18_000


@requires("node")
def test_the_validator_would_have_found_a_fault(validator: Path, tmp_path: Path) -> None:
    content = glb_of(sphere()).replace(b'"max":[', b'"max":[1', 1)[:-1]
    path = tmp_path / "spoilt.glb"
    path.write_bytes(content)
    node = shutil.which("node") or shutil.which("nodejs") or "node"
    done = subprocess.run(
        [node, VALIDATOR / "validate.cjs", validator, path], capture_output=True, text=True, timeout=120, check=True
    )
    assert json.loads(done.stdout)["issues"]["numErrors"] > 0
