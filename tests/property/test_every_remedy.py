"""Every check that fails offers a remedy, and every remedy mends its check: random bad baits of all styles.

A remedy is applied as a client would: its merge patch (RFC 7396) on the request's own text, read and answered anew.
"""

from __future__ import annotations

import copy
import json
from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from tests.hook.test_remedies import rig_bodies
from tests.property.drawn import Body, for_all, merged, plastics
from tests.property.drawn_open import open_form_bodies
from tests.property.test_every_bait import any_bodies
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.estimate import estimate
from worker.request import read_request
from worker.styles import STYLES
from worker.values.pulls import LIMB_PULLS

QUICK = ("beaded_worm", "jointed_worm", "ribbed_worm", "stick_worm", "leech")
"""Styles whose estimates take milliseconds."""


@st.composite
def bad_baits(draw: st.DrawFn, styles: tuple[str, ...], *, open_form: bool) -> Body:
    """Requests of which some check fails: shapes, rigs, limits and plastics."""
    kinds = [*styles, "open form"] if open_form else list(styles)
    kind = draw(st.sampled_from(kinds))
    body = copy.deepcopy(draw(open_form_bodies() if kind == "open form" else any_bodies(kind)))
    if draw(st.booleans()):
        body["require"] = {"joint_pull_n": draw(st.integers(1, 120))}
    if draw(st.booleans()):
        pulls = st.dictionaries(st.sampled_from(sorted(LIMB_PULLS)), st.integers(1, 40), min_size=1, max_size=2)
        body["require"] = {**body.get("require", {}), **draw(pulls)}
    if draw(st.booleans()):
        body["rig"] = draw(rig_bodies())
    checks: dict[str, Any] = {}
    if draw(st.booleans()):
        checks["thin_feature"] = {"limit": draw(st.integers(4, 40)) / 10}
    if "rig" in body and draw(st.booleans()):
        checks["hook_tear_out"] = {"limit": draw(st.integers(1, 30))}
        checks["hook_clearance"] = {"limit": draw(st.integers(0, 8))}
    if checks:
        body["checks"] = checks
    body["plastic"] = draw(plastics())
    try:
        bad = any(check["verdict"] == "fail" for check in _checks(body).values())
    except (InvalidRequest, InfeasibleRequest):
        reject()
    if not bad:
        reject()
    return body


def _checks(body: Body) -> dict[str, dict[str, Any]]:
    return {check["check"]: check for check in estimate(read_request(body))["checks"]}


def _each_mends(body: Body) -> None:
    request, checks = read_request(body), _checks(body)
    for name, check in checks.items():
        assert check["verdict"] != "fail" or check["remedies"], (name, check["text"])
        assert check["verdict"] != "pass" or not check["remedies"], (name, check["text"])
        for remedy in check["remedies"]:
            patch = json.loads(json.dumps(remedy["patch"]))
            mended = merged(body, patch)
            answers = _checks(mended)
            assert name not in answers or answers[name]["verdict"] == "pass", (name, remedy, answers[name]["text"])
            assert request.changed(patch).id == read_request(mended).id
            assert remedy["text"] and remedy["gives"] is not None


@for_all(bad_baits(QUICK, open_form=False), quick=4, proof=150)
def test_on_worms(body: Body) -> None:
    _each_mends(body)


@for_all(bad_baits(tuple(STYLES), open_form=True), quick=2, proof=500)
def test_on_every_style_and_the_open_form(body: Body) -> None:
    _each_mends(body)
