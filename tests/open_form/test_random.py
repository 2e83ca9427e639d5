"""Random requests in the open form: sound solids in the pieces told, one normal form, two readers that agree."""

from __future__ import annotations

import copy
import io
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tests.open_form.bodies import solid_of
from tests.property.drawn import for_all
from tests.property.drawn_open import open_form_bodies
from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.estimate import estimate
from worker.files.stl import write_stl
from worker.request import read_request, request_schema

SCHEMA = Draft202012Validator(request_schema())
Body = dict[str, Any]


@for_all(open_form_bodies(), quick=8, proof=1500)
def test_what_is_taken_becomes_a_sound_solid_in_the_pieces_it_says(body: Body) -> None:
    request = read_request(body)
    solid, told = solid_of(request), estimate(request)["metrics"]
    mesh = trimesh.Trimesh(solid.vertices, solid.triangles, process=False)
    assert mesh.is_watertight and mesh.is_winding_consistent
    assert mesh.area_faces.min() > 0
    assert min(part.volume() for part in solid.parts) > 0
    assert len(solid.parts) == told["pieces"]
    assert told["volume_mm3"] == pytest.approx(solid.volume, rel=0.03)
    # A bore or a cut may take the very tip, which an estimate goes on counting.
    assert told["length_mm"] == pytest.approx(solid.extent[0], abs=0.1 + (2.0 if "hollows" in body else 0.0))
    back = trimesh.load(io.BytesIO(write_stl(solid.vertices, solid.triangles)), file_type="stl")
    assert back.volume == pytest.approx(solid.volume, rel=1e-4)


@for_all(open_form_bodies(), quick=12, proof=1500)
def test_the_normal_form_is_its_own_and_the_schema_s(body: Body) -> None:
    request = read_request(body)
    again = read_request(copy.deepcopy(request.normal))
    assert (again.normal, again.id) == (request.normal, request.id)
    assert SCHEMA.is_valid(body) and SCHEMA.is_valid(request.normal)
    shuffled = {name: body[name] for name in reversed(body)}
    shuffled["strands"] = [{name: strand[name] for name in reversed(strand)} for strand in body["strands"]]
    assert read_request(shuffled).id == request.id


def places(value: Any, *steps: str | int) -> Iterator[tuple[str | int, ...]]:
    """The way to every value inside of another."""
    if steps:
        yield steps
    below = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in below:
        yield from places(inner, *steps, step)


NONSENSE: list[Any] = [
    None,
    True,
    False,
    [],
    {},
    "",
    0,
    1,
    -1,
    0.5,
    1e9,
    "5 mm",
    "1/2 in",
    "5",
    "flat",
    "plain",
    [0, 0, 0],
]


@st.composite
def spoilt_bodies(draw: st.DrawFn) -> Body:
    """Requests of which one thing, or two, is another, or missing, or too much."""
    body = draw(open_form_bodies())
    for _ in range(draw(st.integers(1, 2))):
        left = [at for at in places(body) if at[0] in ("strands", "hollows")]
        if not left:  # the first took all of it
            break
        *way, last = draw(st.sampled_from(left))
        inside = body
        for step in way:
            inside = inside[step]
        match draw(st.integers(0, 3)):
            case 0 if isinstance(inside, dict):
                del inside[last]
            case 1 if isinstance(inside, dict):
                name = draw(
                    st.sampled_from(["lenght", "height", "back", "count", "pitch", "parent", "stations", "path"])
                )
                inside[name] = draw(st.sampled_from(NONSENSE))
            case _:
                inside[last] = copy.deepcopy(draw(st.sampled_from(NONSENSE)))
    return body


def _faults(body: Body) -> tuple[Fault, ...]:
    try:
        read_request(body)
    except InvalidRequest as error:
        return error.faults
    except InfeasibleRequest:
        pass
    return ()


def _at(value: Any, pointer: str) -> Any:
    for step in pointer.split("/")[1:]:
        value = value[int(step)] if isinstance(value, list) else value.get(step) if isinstance(value, dict) else None
    return value


@for_all(spoilt_bodies(), quick=60, proof=6000)
def test_the_schema_and_the_reader_take_the_same(body: Body) -> None:
    faults = _faults(body)
    if SCHEMA.is_valid(body):
        # A schema cannot say the range of a length in text.
        for fault in faults:
            assert isinstance(_at(body, fault.pointer), str), fault
            assert fault.code in ("out-of-range", "not-a-length", "not-a-station")
    else:
        assert faults
        for fault in faults:
            assert fault.pointer.startswith("/") and fault.detail.endswith(".")


def test_the_left_and_the_right_of_a_random_bait_mirror_each_other() -> None:
    leg = {"name": "leg", "kind": "leg", "parent": "body", "stations": [0.4], "both_sides": True, "yaw": 70, "roll": 20}
    leg |= {"path": {"points": [[0, 0, 0], [9, 2, 1], [16, 2, -4]]}, "girth": [{"at": 0, "width": 3, "height": 2}]}
    toe = {"name": "toe", "kind": "leg", "parent": "leg", "stations": [0.8], "both_sides": True, "yaw": 60, "rise": 10}
    toe |= {"path": {"length": 8}, "girth": [{"at": 0, "width": 1.6}], "root_blend": 0.3}
    trunk = {"name": "body", "kind": "trunk", "path": {"length": 50}, "girth": [{"at": 0, "width": 10, "height": 8}]}
    request = read_request({"strands": [trunk, leg, toe], "outputs": ["stl"], "tolerance_mm": 0.1})
    names = [strand.name for strand in request.bait.strands()]
    assert len(names) == len(set(names)) == 7
    points = np.round(solid_of(request).vertices, 4)
    assert points[:, 1].max() == pytest.approx(-points[:, 1].min(), abs=1e-4)
    by_name = {strand.name: strand for strand in request.bait.strands()}
    for strand in by_name.values():
        if strand.name.startswith("left toe"):
            other = by_name["right toe of the right leg" if "left leg" in strand.name else "right toe of the left leg"]
            at = strand.path.length * np.arange(5) / 4
            assert strand.path.frames(at)[0] * [1, -1, 1] == pytest.approx(other.path.frames(at)[0], abs=1e-9)
            assert strand.path.frames(at)[2] * [1, -1, 1] == pytest.approx(other.path.frames(at)[2], abs=1e-9)
