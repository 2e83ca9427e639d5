"""`bait.3mf` against the 3MF Core Specification 1.2.3 (3MF Consortium), read by an XML parser, lib3mf and trimesh."""

from __future__ import annotations

import io
import re
import zipfile
from collections import Counter
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
import trimesh

from tests.files.shapes import Corners, Points, Shape, craw, sphere, volume_of, worm
from tests.requires import requires
from worker.errors import GeometryFailed
from worker.files.stl import write_stl
from worker.files.table import FILES
from worker.files.threemf import MODEL_PART, write_3mf

CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
PACKAGE = "{http://schemas.openxmlformats.org/package/2006/"
SHAPES = {"sphere": sphere, "worm": worm, "craw": craw}


@pytest.fixture(params=list(SHAPES))
def shape(request: pytest.FixtureRequest) -> Shape:
    return SHAPES[request.param]()


def parts_of(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {entry.filename: archive.read(entry) for entry in archive.infolist()}


def model_of(content: bytes) -> ElementTree.Element:
    return ElementTree.fromstring(parts_of(content)[MODEL_PART])


def mesh_of(model: ElementTree.Element) -> tuple[Points, Corners]:
    vertices = [[float(v.get(axis, "")) for axis in "xyz"] for v in model.iter(f"{CORE}vertex")]
    triangles = [[int(t.get(corner, "")) for corner in ("v1", "v2", "v3")] for t in model.iter(f"{CORE}triangle")]
    return np.array(vertices), np.array(triangles)


def test_the_package_leads_a_reader_to_the_model() -> None:
    # ECMA-376-2 (Open Packaging Conventions) and Core Specification, appendix C: content types and relationship.
    parts = parts_of(write_3mf(sphere().vertices, sphere().triangles))
    assert list(parts) == ["[Content_Types].xml", "_rels/.rels", MODEL_PART]
    types = ElementTree.fromstring(parts["[Content_Types].xml"])
    kinds = {kind.get("Extension"): kind.get("ContentType") for kind in types}
    assert kinds == {
        "rels": "application/vnd.openxmlformats-package.relationships+xml",
        "model": "application/vnd.ms-package.3dmanufacturing-3dmodel+xml",
    }
    assert {kind.tag for kind in types} == {f"{PACKAGE}content-types}}Default"}
    (relationship,) = ElementTree.fromstring(parts["_rels/.rels"])
    assert relationship.tag == f"{PACKAGE}relationships}}Relationship"
    assert relationship.get("Target") == f"/{MODEL_PART}"
    assert relationship.get("Type") == "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"


def test_the_media_type_is_the_registered_one() -> None:
    # IANA, Media Types, model: 3mf (registered by the 3MF Consortium).
    assert (FILES["bait.3mf"].output, FILES["bait.3mf"].media_type) == ("3mf", "model/3mf")


def test_the_mesh_is_the_one_given_to_the_last_decimal(shape: Shape) -> None:
    vertices, triangles = mesh_of(model_of(write_3mf(shape.vertices, shape.triangles)))
    assert np.array_equal(vertices, shape.vertices)
    assert np.array_equal(triangles, shape.triangles)
    assert volume_of(vertices, triangles) == pytest.approx(shape.body.volume(), rel=1e-9)


def test_the_mesh_is_that_of_the_stl(shape: Shape) -> None:
    stl = trimesh.load_mesh(io.BytesIO(write_stl(shape.vertices, shape.triangles)), file_type="stl", process=False)
    vertices, triangles = mesh_of(model_of(write_3mf(shape.vertices, shape.triangles)))
    assert np.array_equal(np.float32(vertices)[triangles], np.float32(stl.triangles))


def test_core_rules_for_a_mesh(shape: Shape) -> None:
    # Core Specification 4.1: every edge has exactly two triangles, which run along it in opposite ways, and normals
    # face outward; 3.3: after its transform the item lies in the positive octant.
    model = model_of(write_3mf(shape.vertices, shape.triangles))
    assert model.get("unit") == "millimeter"
    vertices, triangles = mesh_of(model)
    edges = Counter((int(t[i]), int(t[(i + 1) % 3])) for t in triangles for i in range(3))
    assert set(edges.values()) == {1}
    assert all((end, start) in edges for start, end in edges)
    assert volume_of(vertices, triangles) > 0
    (item,) = model.iter(f"{CORE}item")
    (thing,) = model.iter(f"{CORE}object")
    assert (item.get("objectid"), thing.get("type")) == (thing.get("id"), "model")
    matrix = np.array([float(number) for number in item.get("transform", "").split()]).reshape(4, 3)
    assert np.array_equal(matrix[:3], np.eye(3))
    assert (vertices + matrix[3]).min(axis=0) == pytest.approx([0, 0, 0], abs=1e-9)


def test_numbers_have_at_most_five_decimals_and_nothing_to_spare() -> None:
    text = parts_of(write_3mf(craw().vertices, craw().triangles))[MODEL_PART].decode()
    numbers = set(re.findall(r' [xyz]="([^"]*)"', text))
    plain = re.compile(r"-?(0|[1-9]\d*)(\.\d{0,4}[1-9])?")
    assert len(numbers) > 10_000
    assert [number for number in numbers if not plain.fullmatch(number) or number == "-0"] == []


TITLES = {
    "Alder bank 4-1/2": "Alder bank 4-1/2",
    '</metadata><x y="&amp;"> & <!-- -- ]]> \'': '</metadata><x y="&amp;"> & <!-- -- ]]> \'',
    "bell\x07, end\x00, no character \ufffe\uffff": "bell\ufffd, end\ufffd, no character \ufffd\ufffd",
    "half a pair \ud83d, other half \udc1f": "half a pair \ufffd, other half \ufffd",
    "fish \U0001f41f, plane 16 \U0010fffd": "fish \U0001f41f, plane 16 \U0010fffd",
    "  two\n\n lines\tand\r\u2028more ": "two lines and more",
    "\u202eright to left\u202c": "\u202eright to left\u202c",
    "long " * 20_000 + "end": "long " * 20_000 + "end",
}


@pytest.mark.parametrize(("title", "read"), TITLES.items(), ids=[str(number) for number in range(len(TITLES))])
def test_any_title_comes_back_as_text(title: str, read: str) -> None:
    model = model_of(write_3mf(sphere().vertices, sphere().triangles, title=title))
    assert [m.text for m in model.iter(f"{CORE}metadata") if m.get("name") == "Title"] == [read]
    assert len(list(model)) == 4  # title, application, resources, build: nothing has been smuggled in


@pytest.mark.parametrize("title", [None, "", " \n\t "])
def test_no_title_is_no_title(title: str | None) -> None:
    model = model_of(write_3mf(sphere().vertices, sphere().triangles, title=title))
    assert [m.get("name") for m in model.iter(f"{CORE}metadata")] == ["Application"]


def test_the_colour_is_the_objects_material() -> None:
    # Core Specification 5.1: displaycolor is #RRGGBB in sRGB; object pid and pindex name the material.
    model = model_of(write_3mf(sphere().vertices, sphere().triangles, colour="#6b8e23"))
    (material,) = model.iter(f"{CORE}basematerials")
    (base,) = material
    (thing,) = model.iter(f"{CORE}object")
    assert base.get("displaycolor") == "#6B8E23"
    assert (thing.get("pid"), thing.get("pindex")) == (material.get("id"), "0")
    assert material.get("id") != thing.get("id")


@pytest.mark.parametrize("colour", ["olive", "#fff", "#12345g", '#123456"', "#1234567", ""])
def test_another_form_of_colour_is_refused(colour: str) -> None:
    with pytest.raises(ValueError, match="#rrggbb"):
        write_3mf(sphere().vertices, sphere().triangles, colour=colour)


def spoilt() -> dict[str, tuple[Any, Any]]:
    vertices, triangles = sphere().vertices, sphere().triangles
    hole = vertices.copy()
    hole[3, 1] = np.nan
    far = vertices.copy()
    far[5, 0] = np.inf
    twice = triangles.copy()
    twice[7, 1] = twice[7, 2]
    return {
        "not a number": (hole, triangles),
        "endless": (far, triangles),
        "no triangles": (vertices, triangles[:0]),
        "three triangles": (vertices, triangles[:3]),
        "a vertex that is not there": (vertices, triangles + 1),
        "a vertex below none": (vertices, triangles - 1),
        "numbers that are not whole": (vertices, triangles.astype(np.float64)),
        "one vertex twice": (vertices, twice),
        "two coordinates": (vertices[:, :2], triangles),
        "inside out": (vertices, triangles[:, ::-1]),
    }


@pytest.mark.parametrize("fault", list(spoilt()))
def test_arrays_that_are_no_mesh_are_refused(fault: str) -> None:
    with pytest.raises(GeometryFailed):
        write_3mf(*spoilt()[fault])


@requires("3mf")
def test_the_consortiums_reader_takes_it_without_a_warning(shape: Shape) -> None:
    # lib3mf, the 3MF Consortium's own implementation, in its strict mode.
    import lib3mf

    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    title = 'Alder "<&>" \U0001f41f'
    content = write_3mf(shape.vertices, shape.triangles, title=title, colour="#6b8e23")
    reader.ReadFromBuffer(content)
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    objects = model.GetMeshObjects()
    assert objects.Count() == 1 and objects.MoveNext()
    mesh = objects.GetCurrentMeshObject()
    assert mesh.IsManifoldAndOriented() and mesh.IsValid()
    read = np.array([list(vertex.Coordinates) for vertex in mesh.GetVertices()], np.float32)
    assert np.array_equal(read, shape.vertices.astype(np.float32))
    assert np.array_equal([list(t.Indices) for t in mesh.GetTriangleIndices()], shape.triangles)
    metadata = model.GetMetaDataGroup()
    assert metadata.GetMetaDataByKey("", "Title").GetValue() == title
    materials = model.GetBaseMaterialGroups()
    assert materials.MoveNext()
    colour = materials.GetCurrentBaseMaterialGroup().GetDisplayColor(1)
    assert (colour.Red, colour.Green, colour.Blue) == (0x6B, 0x8E, 0x23)
    assert model.GetBuildItems().Count() == 1
