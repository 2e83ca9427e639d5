"""The demo's baits in the open form: what they are said to be, and files that any reader takes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.open_form.bodies import solid_of
from worker.estimate import estimate
from worker.files.glb import write_glb
from worker.picture.finish import Finish
from worker.request import read_request

FOLDER = Path(__file__).resolve().parents[2] / "demo_requests"
NAMES = ("20_split_drop", "21_lock_swimmer", "22_twin_lobe_creature")


def _body(name: str) -> dict[str, Any]:
    body = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    assert isinstance(body, dict)
    return body


@pytest.mark.parametrize("name", NAMES)
def test_each_holds_what_it_is_asked(name: str) -> None:
    answer = estimate(read_request(_body(name)))
    assert {check["verdict"] for check in answer["checks"]} == {"pass"}
    assert answer["metrics"]["pieces"] == 1


def test_where_skins_touch_along_an_edge_they_are_drawn_apart() -> None:
    """The twin lobes' flappers graze them: two corners of the union lay in one place, and a GLB of it failed."""
    solid = solid_of(read_request(_body("22_twin_lobe_creature")))
    places, corner = np.unique(solid.vertices, axis=0, return_inverse=True)
    edges = np.sort(corner.ravel()[solid.triangles][:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()
    assert len(places) == len(solid.vertices)
    assert len(write_glb(solid.vertices, solid.triangles, Finish((0.2, 0.3, 0.1)))) > 1000
