"""What a fit costs against as many full builds of the baits that it looks at, and how many it looks at a second."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import Any

from tests.bench.measure import Row
from worker.build import build
from worker.fit import fit_request
from worker.fit.axes import Axis
from worker.fit.request import FitRequest
from worker.fit.run import run
from worker.request import read_request

FITS: dict[str, tuple[dict[str, Any], str]] = {
    "worm: three free, mass bounded": (
        {
            "style": "beaded_worm",
            "free": {
                "bead_count": {"minimum": 12, "maximum": 24},
                "bead_diameter": {"minimum": 7, "maximum": 11},
                "joint_blend": {},
            },
            "require": {"mass_g": {"at_most": 7}},
            "goal": "greatest_flexibility",
            "evaluations": 300,
        },
        "at least 4 times",
    ),
    "craw: two free, strongest joint": (
        {
            "style": "craw",
            "free": {"core_width": {"minimum": 4, "maximum": 7}, "lobe_overlap": {"minimum": 1, "maximum": 3}},
            "goal": "strongest_joint",
            "evaluations": 60,
        },
        "at least 25 times",
    ),
    "craw: the same, mass bounded": (
        {
            "style": "craw",
            "free": {"core_width": {"minimum": 4, "maximum": 7}, "lobe_overlap": {"minimum": 1, "maximum": 3}},
            "require": {"mass_g": {"at_most": 5.5}},
            "goal": "strongest_joint",
            "evaluations": 60,
        },
        "at least 25 times",
    ),
}
BUILDS = 5


def rows() -> Iterator[Row]:
    """A row a fit; CPU time of one process. Builds are of baits along the ranges, each new to every cache."""
    for name, (body, bar) in FITS.items():
        request = fit_request(body)
        run(fit_request({**body, "evaluations": 20}))
        begin = time.process_time()
        made = run(request).document["evaluations"]["made"]
        whole = time.process_time() - begin
        one = statistics.median(_build(request, share / (BUILDS + 1)) for share in range(1, BUILDS + 1))
        yield Row(
            f"fit of a {name}",
            f"{made} baits in {whole:.2f} s of CPU, {made / whole:.0f} a second",
            f"as many builds with the usual files: {made * one:.0f} s",
            f"{made * one / whole:.1f} times faster",
            bar,
        )


def _build(request: FitRequest, share: float) -> float:
    """Seconds of CPU that the bait at a share of every range takes to build."""
    bait = read_request(request.bait({axis.name: _at(axis, share) for axis in request.axes}).normal)
    begin = time.process_time()
    build(bait)
    return time.process_time() - begin


def _at(axis: Axis, share: float) -> Any:
    return axis.at(axis.minimum + share * (axis.maximum - axis.minimum))
