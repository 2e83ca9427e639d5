"""Whatever a request says of shot, master and sheet within their ranges, the figures hang together."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import for_all, numbers
from worker.errors import InfeasibleRequest, InvalidRequest
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.request.fields import ParameterField
from worker.request.shop import PRINT, SHEET, SHOT
from worker.values.cautions import BENCH
from worker.values.pouring import SHARE

TOGETHER = {"not-in-order", "not-together"}
"""Codes of values that are each allowed but do not go together."""


def section(schema: Any, **more: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Some members of a section, drawn from their own ranges."""
    drawn = {
        name: numbers(field.parameter) for name, field in schema.fields.items() if isinstance(field, ParameterField)
    }
    return st.fixed_dictionaries({}, optional={**drawn, **more})


COLOURS = st.lists(st.fixed_dictionaries({}, optional={"share_pct": numbers(SHARE)}), max_size=4)
PRICES = st.fixed_dictionaries({}, optional={"plastic_per_l": st.floats(0, 100), "work_per_hour": st.floats(0, 100)})


@st.composite
def shop_requests(draw: st.DrawFn) -> Request:
    """A request with a shot, a print and a sheet."""
    body = {
        "style": draw(st.sampled_from(["beaded_worm", "stick_worm", "craw", "leech", "tube"])),
        "plastic": {"salt_wt_pct": draw(st.integers(0, 45))},
        "shot": draw(section(SHOT, colours=COLOURS, cost=PRICES, packed=st.booleans())),
        "print": draw(section(PRINT)),
        "sheet": draw(section(SHEET)),
    }
    try:
        return read_request(body)
    except InvalidRequest as error:
        assert {fault.code for fault in error.faults} <= TOGETHER, (body, error.faults)
    except InfeasibleRequest as error:
        refused = ("/shot/core_", "/shot/method")  # a core that lies in no trunk, or in a tube
        assert all(fault.pointer.startswith(refused) for fault in error.faults), (body, error.faults)
    return reject()


@for_all(shop_requests(), quick=60, proof=3000)
def test_the_figures_hang_together(request: Request) -> None:
    answer = estimate(request)
    shot, master, asked = answer["metrics"]["shot"], answer["metrics"]["master"], request.normal["shot"]
    near = {"rel": 1e-4}
    # Mass is kept: what is fresh and what comes back is what sets and what is wasted.
    sets = shot["cavities"] * shot["bait_g"] + shot["channels_g"]
    assert shot["shot_g"] == pytest.approx(sets, **near)
    assert shot["fresh_g"] + shot["remelt_g"] == pytest.approx(shot["shot_g"] + shot["waste_g"], rel=1e-3)
    assert sum(each["share_pct"] for each in shot["colours"]) == pytest.approx(100, **near)
    assert sum(each["bait_g"] for each in shot["colours"]) == pytest.approx(shot["bait_g"], **near)
    assert shot["cavity_mm3"] == pytest.approx(shot["cavity_scale"] ** 3 * answer["metrics"]["volume_mm3"], **near)
    salt = request.normal["plastic"]["salt_wt_pct"] / 100
    assert shot["salt_per_bait_g"] == pytest.approx(salt * shot["fresh_per_bait_g"], **near)
    cooling = shot["cooling"]
    assert 0 < cooling["low_s"] < cooling["typical_s"] < cooling["high_s"]
    thin, thick = shot["fill"]["thin"], shot["fill"]["thick"]
    assert thin["seconds"] <= thick["seconds"] * (1 + 1e-5)
    assert max(thin["pressure_mpa"], thick["pressure_mpa"]) <= asked["pressure_mpa"] * (1 + 1e-5)
    assert shot["cycle_s"] == pytest.approx(thick["seconds"] + cooling["typical_s"] + asked["handling_s"], rel=1e-4)
    assert master["scale"] > 0.9
    across = [each["across_mm"] for each in master["thin_places"]]
    assert across == sorted(across)
    assert all(any(each.text in said for said in answer["cautions"]) for each in BENCH)
    for check in answer["checks"]:
        if check["check"] in ("pour_temperature", "master_wall", "master_bed"):
            for remedy in check["remedies"]:
                mended = estimate(request.changed(remedy["patch"]))["checks"]
                assert next(each for each in mended if each["check"] == check["check"])["verdict"] == "pass"
