"""What must not change, or change in a known way, when a request is written or made another way."""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.outside.made import made, volume
from tests.property.drawn import BEADED, Body, bodies, exists, for_all, requests
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.styles import STYLES
from worker.values.parameter import Parameter
from worker.values.questions import CHECKS
from worker.values.rows import Rows

LENGTHS = ("length", "bead_diameter", "joint_blend", "core_diameter")


@st.composite
def pairs_of_sizes(draw: st.DrawFn) -> tuple[Request, Request]:
    """A bait and the same bait twice as large, meshed twice as coarsely."""
    body = draw(bodies(BEADED))
    declared = {parameter.name: parameter for parameter in STYLES[body["style"]].parameters}
    halves = {}
    for name, value in body["params"].items():
        halves[name] = min(value, math.floor(declared[name].maximum * 5e3) / 1e4) if name in LENGTHS else value
    small = {**body, "params": halves, "tolerance_mm": min(body["tolerance_mm"], 0.1)}
    large = {**small, "params": {name: 2 * value if name in LENGTHS else value for name, value in halves.items()}}
    large["tolerance_mm"] = 2 * small["tolerance_mm"]
    if not (exists(small) and exists(large)):
        reject()
    return read_request(small), read_request(large)


@for_all(pairs_of_sizes(), quick=16, proof=300)
def test_twice_as_large_is_eight_times_the_volume(pair: tuple[Request, Request]) -> None:
    small, large = (estimate(request)["metrics"] for request in pair)
    assert large["volume_mm3"] == pytest.approx(8 * small["volume_mm3"], rel=1e-5)
    assert large["surface_mm2"] == pytest.approx(4 * small["surface_mm2"], rel=1e-5)
    assert large["pieces"] == small["pieces"]
    assert len(large["joints"]) == len(small["joints"])
    for one, two in zip(small["joints"], large["joints"], strict=True):
        assert two["area_mm2"] == pytest.approx(4 * one["area_mm2"], rel=2e-5)
        assert two["station_mm"] == pytest.approx(2 * one["station_mm"], rel=2e-5)
    meshes = [made(request).solid for request in pair]
    assert volume(meshes[1]) == pytest.approx(8 * volume(meshes[0]), rel=1e-3)


@for_all(requests(), quick=16, proof=200)
def test_the_left_side_mirrors_the_right_and_the_belly_the_back(request: Request) -> None:
    bait = made(request).solid
    rows = {tuple(row) for row in np.round(bait.vertices, 4) + 0.0}
    for axis in (1, 2):
        mirrored = bait.vertices.copy()
        mirrored[:, axis] *= -1
        assert {tuple(row) for row in np.round(mirrored, 4) + 0.0} == rows


@for_all(requests(BEADED), quick=16, proof=200)
def test_an_even_row_of_balls_or_barrels_is_the_same_from_either_end(request: Request) -> None:
    params = {**request.params, "taper": 1.0}
    if params.get("segment") == "cone":
        params["segment"] = "ball"
    body = {"style": request.normal["style"], "params": params}
    if not exists(body):
        return
    outline = made(read_request(body)).body.side
    x = np.linspace(0, params["length"], 997)[1:-1]
    assert np.allclose(outline.height(x), outline.height(params["length"] - x), atol=1e-5)


# One bait, however it is written -----------------------------------------------------------------------------------


def _reordered(value: Any, draw: st.DrawFn) -> Any:
    if not isinstance(value, dict):
        return value
    return {name: _reordered(value[name], draw) for name in draw(st.permutations(list(value)))}


@st.composite
def written_twice(draw: st.DrawFn) -> tuple[Body, Body]:
    """A body, and the same with its members in another order and some defaults written."""
    body = draw(bodies())
    defaults = {name: value for name, value in STYLES[body["style"]].defaults().items() if draw(st.booleans())}
    left_out = {name: value for name, value in body["params"].items() if draw(st.booleans())}
    one = {**body, "params": left_out, "outputs": ["stl"]}
    two = {**one, "params": {**defaults, **left_out}, "label": "another", "outputs": ["stl", "stl"]}
    extra = {
        "require": {},
        "checks": {name: {"silence": False} for name in CHECKS if draw(st.booleans())},
        "finish": {"colour": "OliveDrab"} if draw(st.booleans()) else {},
    }
    two |= {name: value for name, value in extra.items() if draw(st.booleans())}
    if not (exists(one) and exists(two)):
        reject()
    return one, _reordered(two, draw)


@for_all(written_twice(), quick=25, proof=1000)
def test_order_and_written_defaults_change_no_id(written: tuple[Body, Body]) -> None:
    one, two = (read_request(body) for body in written)
    assert one.normal == two.normal
    assert one.id == two.id


@st.composite
def in_two_units(draw: st.DrawFn) -> tuple[Body, Body]:
    """Lengths in sixty-fourths of an inch, as makers' fractions and as millimetres."""

    def length(low: float, high: float) -> tuple[str, float]:
        parts = draw(st.integers(math.ceil(low / 25.4 * 64), math.floor(high / 25.4 * 64)))
        whole, rest = divmod(parts, 64)
        mark = draw(st.sampled_from([" in", '"', "in", " inch", "\u2033"]))
        text = f"{whole}-{rest}/64{mark}" if whole and rest else f"{rest}/64{mark}" if rest else f"{whole}{mark}"
        return text, float(Decimal(parts) * Decimal("0.396875"))

    pairs = {"length": length(100, 300), "bead_diameter": length(4, 9), "joint_blend": length(0.1, 3)}
    inches = {name: text for name, (text, _) in pairs.items()}
    millimetres: dict[str, Any] = {name: number for name, (_, number) in pairs.items()}
    if draw(st.booleans()):
        millimetres = {name: f"{Decimal(repr(number)):f} mm" for name, number in millimetres.items()}
    bodies = ({"style": "beaded_worm", "params": params} for params in (inches, millimetres))
    one, two = bodies
    if not exists(one):
        reject()
    return one, two


@for_all(in_two_units(), quick=25, proof=1000)
def test_inches_and_millimetres_are_one_bait(written: tuple[Body, Body]) -> None:
    one, two = (read_request(body) for body in written)
    assert one.normal == two.normal
    assert one.id == two.id


def _written(values: dict[str, Any], declared: Iterable[Parameter | Rows], divisor: str, unit: str) -> dict[str, Any]:
    """The same values with each length as text in a unit of so many mm, and the members the other way round."""
    told: dict[str, Any] = {}
    for each in reversed(tuple(declared)):
        value = values[each.name]
        if isinstance(each, Rows):
            told[each.name] = [_written(row, each.members, divisor, unit) for row in value]
        elif each.kind == "length":
            told[each.name] = f"{Decimal(repr(value)) / Decimal(divisor):.8f} {unit}"
        else:
            told[each.name] = value
    return told


@pytest.mark.parametrize("style", sorted(STYLES))
def test_every_length_of_a_style_may_be_in_inches_or_in_millimetres(style: str) -> None:
    """1 in = 25.4 mm (NIST SP 811); lengths are read to 0.0001 mm, eight digits of an inch are a small part of it."""
    plain = read_request({"style": style, "outputs": ["stl"]})
    declared = STYLES[style].parameters
    for divisor, unit in (("25.4", "in"), ("1", "mm")):
        params = _written(STYLES[style].defaults(), declared, divisor, unit)
        assert any(isinstance(value, str) and value.endswith(unit) for value in params.values())
        assert read_request({"outputs": ["stl"], "params": params, "style": style}).id == plain.id


@pytest.mark.parametrize(("one", "two"), [
    ({"joint_blend": 0}, {"joint_blend": -0.0}),
    ({"bead_count": 16}, {"bead_count": 16.0}),
    ({"bead_diameter": 9}, {"bead_diameter": 9.00004}),
    ({"taper": 0.9}, {"taper": 0.90000004}),
])  # fmt: skip
def test_values_that_are_one_in_normal_form(one: Body, two: Body) -> None:
    ids = {read_request({"style": "beaded_worm", "params": params}).id for params in (one, two)}
    assert len(ids) == 1


@for_all(requests(), quick=20, proof=300)
def test_a_record_read_back_is_the_same_bait(request: Request) -> None:
    again = Request.from_normal(request.normal)
    assert again.id == request.id
    assert estimate(again) == estimate(request)
    # A normal form is itself a request, and its own normal form.
    assert read_request(request.normal).normal == request.normal
