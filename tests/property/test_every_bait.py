"""Nothing valid fails: random requests over every style and the open form, each built, judged and read back."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import Body, for_all, numbers
from tests.property.drawn_open import open_form_bodies
from tests.property.facets import skin_of_facets
from tests.property.flares import without_flares
from tests.property.sound import assert_sound
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.strands.path import HandedPath
from worker.styles import STYLES
from worker.values.parameter import Parameter
from worker.values.rows import Rows

MOST_CHANGED = 7
"""Parameters of one bait that are drawn; more at once are nearly always refused together."""
VOLUME, OF_FLARES = 0.01, 0.5
"""Estimate against mesh, as a share of the whole, and of what flares add to the mesh: arithmetic tells a flare that
stands alone on a smooth parent within a sixth, and one that leans over relief within half of it."""
SKIN, OF_HOLLOWS = 0.01, 0.01
"""Skin told, without flares, against the mesh's, whose facets may have as much more as each strand's own have; where
hollows are cut, as much again: four cuts through a slender end are told 1.4 % of a bait wrong."""
ONCE_FAILED = json.loads(Path(__file__).with_name("once_failed.json").read_text("utf-8"))
"""Baits that random requests found, and what was wrong with each."""
PROOF_A_STYLE, PROOF_OPEN = 360, 800


@st.composite
def any_bodies(draw: st.DrawFn, style: str) -> Body:
    """A style's request with some of its parameters drawn, taken or refused."""
    declared = {parameter.name: parameter for parameter in STYLES[style].parameters}
    changed = draw(st.lists(st.sampled_from(sorted(declared)), min_size=1, max_size=MOST_CHANGED, unique=True))
    params = {name: draw(numbers(declared[name])) for name in changed}
    return {"style": style, "params": params, "tolerance_mm": 0.05, "outputs": ["stl"]}


def _taken(body: Body) -> Request:
    """The request; of one that is refused every fault names a place in it, says why and what would do."""
    try:
        return read_request(body)
    except InfeasibleRequest as refused:
        for fault in refused.faults:
            assert fault.pointer.startswith("/"), fault
            assert len(fault.detail) > 20, fault
        reject()


def _judge(request: Request) -> None:
    subject = Subject(request)
    solid = joined(subject.strands, request.tolerance, subject.hollows)
    assert_sound(solid, subject.pieces)
    size = subject.size
    off = abs(size.volume - solid.volume)
    if off > VOLUME * solid.volume:
        flares = solid.volume - without_flares(subject, request.tolerance).volume
        assert off <= VOLUME * solid.volume + OF_FLARES * flares
    allowed = SKIN + OF_HOLLOWS * bool(subject.hollows)
    if abs(size.surface - solid.surface) > allowed * solid.surface:
        plain = without_flares(subject, request.tolerance).surface
        assert size.surface * skin_of_facets(subject, request.tolerance) == pytest.approx(plain, rel=allowed)
    # Corners of a ring that keeps its area lie up to the tolerance outside of the surface.
    assert size.length == pytest.approx(solid.extent[0], abs=request.tolerance)
    for told, made in zip((size.max_width, size.max_height), solid.extent[1:], strict=True):
        assert told == pytest.approx(made, abs=2 * request.tolerance)


def _of_style(style: str) -> Any:
    @for_all(any_bodies(style), quick=2, proof=PROOF_A_STYLE)
    def holds(body: Body) -> None:
        """Closed, outward, positive, apart from itself, its pieces told rightly, STL and 3MF read back equal."""
        _judge(_taken(body))

    return holds


for _style in STYLES:
    globals()[f"test_every_{_style}_is_sound"] = _of_style(_style)


@for_all(open_form_bodies(), quick=4, proof=PROOF_OPEN)
def test_every_bait_of_the_open_form_is_sound(body: Body) -> None:
    """The same of strands and hollows."""
    _judge(read_request(body))


@pytest.mark.parametrize("body", [pytest.param(each["body"], id=each["why"]) for each in ONCE_FAILED])
def test_what_once_failed_is_sound(body: Body) -> None:
    """Each with the tolerance that it failed at."""
    _judge(read_request(body))


@pytest.mark.parametrize("style", sorted(STYLES))
def test_right_limbs_mirror_left_ones(style: str) -> None:
    """Every handed strand has its counterpart, and a bait is as wide to either side; a tail may lie to one."""
    subject = Subject(read_request({"style": style}))
    paths = {id(strand.path) for strand in subject.strands}
    handed = [strand for strand in subject.strands if isinstance(strand.path, HandedPath)]
    assert all(id(strand.path.of) in paths for strand in handed if isinstance(strand.path, HandedPath))
    solid = joined([strand for strand in subject.strands if strand.kind != "tail"], 0.05, subject.hollows)
    low, high = float(solid.vertices[:, 1].min()), float(solid.vertices[:, 1].max())
    assert low == pytest.approx(-high, abs=0.06)


@pytest.mark.parametrize("style", sorted(STYLES))
def test_twice_the_lengths_is_eight_times_the_volume(style: str) -> None:
    """All lengths doubled, those of rows too; the first size of a few at which both baits can be."""
    small, large = next(pair for pair in (_pair(style, share) for share in SHARES) if pair is not None)
    ratio = Subject(large).size.volume / Subject(small).size.volume
    assert ratio == pytest.approx(8.0, rel=0.02)


SHARES = (0.7, 0.6, 0.8, 0.5, 0.9, 1.0)


def _pair(style: str, share: float) -> tuple[Request, Request] | None:
    """Defaults at a share of their lengths, as far as their ranges go, and twice that; None where one cannot be."""
    defaults = copy.deepcopy(STYLES[style].defaults())
    small = _scaled(style, defaults, lambda length, value: min(max(share * value, length.minimum), length.maximum / 2))
    large = _scaled(style, copy.deepcopy(small), lambda length, value: 2 * value)
    try:
        return tuple(read_request({"style": style, "params": params}) for params in (small, large))  # type: ignore[return-value]
    except (InfeasibleRequest, InvalidRequest):
        return None


def _scaled(style: str, params: dict[str, Any], change: Callable[[Parameter, float], float]) -> dict[str, Any]:
    for parameter in STYLES[style].parameters:
        if isinstance(parameter, Rows):
            for row in params[parameter.name]:
                _change(row, parameter.members, change)
    _change(params, STYLES[style].parameters, change)
    return params


def _change(values: dict[str, Any], declared: Iterable[Any], change: Callable[[Parameter, float], float]) -> None:
    for each in declared:
        # What is 0 is not there, and is not there twice as large.
        if isinstance(each, Parameter) and each.kind == "length" and values[each.name] > 0:
            values[each.name] = round(change(each, values[each.name]), 4)
