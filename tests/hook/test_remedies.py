"""Every remedy of the hook's checks, applied as the merge patch it is, makes that check pass: random rigs and baits."""

from __future__ import annotations

import json
import math
from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import Body, exists, for_all, merged, numbers, plastics
from worker.estimate import estimate
from worker.request import read_request
from worker.styles import STYLES
from worker.values import rigs

QUICK = ("beaded_worm", "jointed_worm", "ribbed_worm", "stick_worm", "grub")
"""Styles whose estimates are quick; the others are drawn in the proof."""


@st.composite
def rig_bodies(draw: st.DrawFn) -> Body:
    """Rigs of all kinds, with up to two weights."""
    station = st.integers(0, 100).map(lambda whole: whole / 100)
    hook = {"gape": draw(numbers(rigs.GAPE, 1)), "shank": draw(st.integers(4, 60)), "wire": draw(numbers(rigs.WIRE, 2))}
    rig: Body = {"kind": draw(st.sampled_from(list(rigs.RIG_KINDS))), "hook": hook}
    if draw(st.booleans()):
        rig["station"] = draw(station)
    weight = st.fixed_dictionaries(
        {
            "mass_g": numbers(rigs.WEIGHT_MASS, 1),
            "station": station,
            "material": st.sampled_from(list(rigs.MATERIALS)),
        }
    )
    rig["weights"] = draw(st.lists(weight, max_size=2))
    return rig


@st.composite
def rigged(draw: st.DrawFn, styles: tuple[str, ...]) -> Body:
    """A bait of one of the styles, a few of its parameters drawn, with a rig, plastic and limits."""
    style = draw(st.sampled_from(styles))
    chosen = draw(st.lists(st.sampled_from(STYLES[style].parameters), max_size=3, unique_by=lambda each: each.name))
    body: Body = {
        "style": style,
        "params": {parameter.name: draw(numbers(parameter)) for parameter in chosen},
        "rig": draw(rig_bodies()),
        "plastic": draw(plastics()),
        "checks": {
            "hook_tear_out": {"limit": draw(st.integers(1, 30))},
            "hook_clearance": {"limit": draw(st.integers(0, 8))},
        },
    }
    if not exists(body):
        reject()
    return body


def _finite(value: Any) -> bool:
    if isinstance(value, dict):
        return all(_finite(each) for each in value.values())
    if isinstance(value, list):
        return all(_finite(each) for each in value)
    return not isinstance(value, float) or math.isfinite(value)


def _holds(body: Body) -> None:
    request = read_request(body)
    answer = estimate(request)
    assert _finite(answer)
    checks = {check["check"]: check for check in answer["checks"]}
    for name in ("hook_tear_out", "hook_clearance"):
        check = checks[name]
        assert check["verdict"] != "fail" or check["remedies"] or check["value"] <= 0.1, check["text"]
        assert check["verdict"] != "pass" or not check["remedies"]
        for remedy in check["remedies"]:
            patch = json.loads(json.dumps(remedy["patch"]))
            mended = read_request(merged(body, patch))
            answers = {each["check"]: each for each in estimate(mended)["checks"]}
            assert answers[name]["verdict"] == "pass", (name, remedy)
            assert request.changed(patch).id == mended.id


@for_all(rigged(QUICK), quick=20, proof=300)
def test_every_remedy_of_a_hook_mends_it(body: Body) -> None:
    _holds(body)


@for_all(rigged(tuple(STYLES)), quick=3, proof=200)
def test_so_it_does_on_every_style(body: Body) -> None:
    _holds(body)
