"""Every check of a mould that fails offers a remedy, and every remedy mends its check."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import Body, for_all, merged
from tests.property.drawn_open import open_form_bodies
from tests.property.test_every_bait import any_bodies
from worker.checks.answer import Answer
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.mould import mould_of
from worker.mould.checks import check_mould
from worker.request import read_request
from worker.solid.join import joined
from worker.styles import STYLES

LIMBED = ("craw", "creature", "shrimp", "lizard")
DEMOS = {path.name[:2]: path for path in sorted(Path("demo_requests").glob("[0-9]*.json"))}
QUICK_DEMOS = ("14",)
"""Of those whose default mould holds the bait."""
LONG = ("craw", "shrimp")
"""Styles whose search tries many moulds of many limbs."""


def _answers(body: Body) -> dict[str, Answer]:
    request = read_request(body)
    subject = Subject(request)
    solid = joined(subject.strands, request.tolerance, subject.hollows)
    mould = mould_of(subject, solid)
    assert mould is not None
    return {answer.check: answer for answer in check_mould(subject, mould)}


def _each_mends(body: Body, *, every: bool = True) -> None:
    """Each check that fails has a remedy, and passes with it; `every`: or the first of them alone."""
    mended: dict[str, dict[str, Answer]] = {}
    request = read_request(body)
    for name, answer in _answers(body).items():
        assert answer.verdict != "fail" or answer.remedies, (name, answer.text)
        for remedy in answer.remedies[: None if every else 1] if answer.verdict == "fail" else ():
            patch = json.loads(json.dumps(dict(remedy.patch)))
            text = json.dumps(patch)
            changed = merged(body, patch)
            if text not in mended:
                mended[text] = _answers(changed)
            then = mended[text].get(name)
            assert then is None or then.verdict == "pass", (name, remedy.text, then.text)
            assert request.changed(patch).id == read_request(changed).id


@pytest.mark.parametrize(
    "style", [pytest.param(each, marks=pytest.mark.proof if each in LONG else ()) for each in STYLES]
)
def test_no_default_fails_without_a_remedy(style: str) -> None:
    body = {"style": style, "detail": "coarse", "mould": {}}
    if style in LIMBED or style == "tube":
        _each_mends(body, every=False)
        return
    assert not [name for name, answer in _answers(body).items() if answer.verdict == "fail"]


@pytest.mark.parametrize(
    "number", [pytest.param(each, marks=() if each in QUICK_DEMOS else pytest.mark.proof) for each in DEMOS]
)
def test_no_demo_request_fails_without_a_remedy(number: str) -> None:
    body: dict[str, Any] = json.loads(DEMOS[number].read_text("utf-8"))
    coarse = {"detail": "coarse"} if number in QUICK_DEMOS else {}
    _each_mends({**body, **coarse, "mould": body.get("mould", {})})


def test_a_closed_pocket_is_taken_out_where_it_leaves_an_island() -> None:
    """No pin leaves a pocket that nothing leads to; without it each half is one piece."""
    ends = [{"at": 0, "width": 14}, {"at": 1, "width": 14}]
    bait: dict[str, Any] = {
        "detail": "coarse",
        "strands": [{"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": ends}],
        "hollows": [{"kind": "inside", "strand": "body", "from": 0.3, "to": 0.6, "wall": 3}],
    }
    for kind, check in (("injected", "island"), ("injected_with_core", "core")):
        body = {**bait, "mould": {"kind": kind}}
        answer = _answers(body)[check]
        assert answer.verdict == "fail" and answer.remedies[0].patch["hollows"] == []
        _each_mends(body)


def test_what_does_not_fill_is_made_thicker_where_no_material_fills_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A trunk with a waist of 0.8 mm: aluminium fills 1.2 mm, in a warm mould 1.0 (common practice, no source)."""
    from worker.mould.checks import filling

    monkeypatch.setattr(filling, "_in_another", lambda subject, mould: ())
    girth = [{"at": 0, "width": 5}, {"at": 0.5, "width": 0.8}, {"at": 1, "width": 5}]
    trunk = {"name": "body", "kind": "trunk", "path": {"length": 40}, "girth": girth}
    body: dict[str, Any] = {"detail": "coarse", "strands": [trunk], "mould": {}}
    (remedy,) = _answers(body)["fill"].remedies
    assert "thinner" in remedy.text and remedy.gives >= 1.2
    _each_mends(body)


def test_a_bait_longer_than_its_bed_is_made_on_a_larger_one() -> None:
    body = {"style": "stick_worm", "detail": "coarse", "params": {"length": 200}}
    _each_mends({**body, "mould": {"bed": {"length": 100, "width": 60}}})


def test_the_search_ends_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    from worker.mould.checks import search

    monkeypatch.setattr(search, "MOST_TRIES", 1)
    monkeypatch.setattr(search, "MOST_BUILT", 0)
    answer = _answers({"style": "shrimp", "detail": "coarse", "mould": {}})["undercut"]
    assert answer.verdict == "fail" and not answer.remedies
    assert "Of 1 change that was tried none mends it" in answer.text


_MOULDS = st.fixed_dictionaries(
    {},
    optional={
        "kind": st.sampled_from(["injected", "open_pour", "injected_with_core", "dipped"]),
        "material": st.sampled_from(["aluminium", "plaster"]),
        "cavities": st.integers(1, 3),
        "parting": st.fixed_dictionaries(
            {"form": st.sampled_from(["auto", "flat"])}, optional={"turn_deg": st.sampled_from([0, 45, 90])}
        ),
    },
)


@st.composite
def moulded_bodies(draw: st.DrawFn) -> Body:
    """Requests with moulds."""
    kind = draw(st.sampled_from([*STYLES, "open form"]))
    body = draw(open_form_bodies() if kind == "open form" else any_bodies(kind))
    body = {**json.loads(json.dumps(body)), "detail": "coarse", "mould": draw(_MOULDS)}
    try:
        read_request(body)
    except (InvalidRequest, InfeasibleRequest):
        reject()
    return body


@for_all(moulded_bodies(), quick=1, proof=150)
def test_random_baits_with_moulds(body: Body) -> None:
    _each_mends(body)
