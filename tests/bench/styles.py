"""Every style: time of an estimate and of a solid, triangles, memory, and how they grow."""

from __future__ import annotations

import multiprocessing
import resource
import statistics
from collections.abc import Iterator
from functools import partial
from typing import Any

import numpy as np

from tests.bench.measure import Row, Work, in_turns
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.styles import STYLES

TOLERANCES = (0.08, 0.04, 0.02, 0.01)
Sizes = tuple[tuple[float, dict[str, Any]], ...]


def _pairs(count: int) -> dict[str, Any]:
    """A creature with legs on so many places."""
    leg = {"kind": "leg", "pairs": count, "length": 12, "root": 1.6, "tip": 1.0}
    return {"params": {"length": 180, "groups": [leg]}}


COUNTS: dict[str, tuple[str, Sizes]] = {
    "beaded_worm": (
        "beads",
        tuple((n, {"params": {"length": 300, "bead_count": n, "bead_diameter": 4}}) for n in (80, 120, 200)),
    ),
    "jointed_worm": (
        "beads",
        tuple(
            (n, {"params": {"length": 300, "bead_count": n, "bead_diameter": 4, "core_diameter": 2}})
            for n in (40, 80, 160)
        ),
    ),
    # Longer worms: at another pitch the ribs would be of another shape, with more rings each.
    "ribbed_worm": ("ribs", tuple((n, {"params": {"length": n, "rib_pitch": 2}}) for n in (75, 150, 300))),
    "craw": ("legs", tuple((n, {"params": {"leg_pairs": n, "leg_root": 1.2, "leg_tip": 0.8}}) for n in (1, 2, 4))),
    "creature": ("legs", tuple((n, _pairs(n)) for n in (2, 4, 8))),
    "tube": ("tentacles", tuple((n, {"params": {"tentacles": n, "outer": 27}}) for n in (12, 24, 40))),
}
"""What a bait is made of many of, and requests with more and more of it; other styles have nothing to count."""


def rows() -> Iterator[Row]:
    """One row a style."""
    for style in STYLES:
        request = read_request({"style": style})
        solids = in_turns({"estimate": partial(estimate, request), "solid": _solid(request)}, rounds=5)
        triangles = len(_joined(request, 0.02).triangles)
        grown = [f"{_exponent(_by_tolerance(request)):.2f} in 1 / tolerance"]
        if style in COUNTS:
            what, sizes = COUNTS[style]
            grown.insert(0, f"{_exponent(_by_count(style, sizes)):.2f} in {what}")
        yield Row(
            f"{style.replace('_', ' ')} of defaults",
            f"estimate {solids['estimate']:.1f} ms, solid {solids['solid']:.0f} ms of CPU",
            f"{triangles:,} triangles, {_megabytes(style):.0f} MB at most beyond the libraries",
            f"exponents {', '.join(grown)}",
            "exponents at most 1.1",
        )


def _joined(request: Request, tolerance: float) -> Any:
    return joined(request.bait.strands(), tolerance, request.bait.hollows())


def _solid(request: Request, tolerance: float = 0.02) -> Work:
    return lambda: _joined(request, tolerance)


def _by_tolerance(request: Request) -> dict[float, float]:
    times = in_turns({f"{each}": _solid(request, each) for each in TOLERANCES}, rounds=3)
    return {1 / tolerance: times[f"{tolerance}"] for tolerance in TOLERANCES}


def _by_count(style: str, sizes: Sizes) -> dict[float, float]:
    works = {f"{size}": _solid(read_request({"style": style, **changed})) for size, changed in sizes}
    times = in_turns(works, rounds=3)
    return {size: times[f"{size}"] for size, _ in sizes}


def _exponent(times: dict[float, float]) -> float:
    sizes, spent = np.log(list(times)).tolist(), np.log(list(times.values())).tolist()
    return float(statistics.linear_regression(sizes, spent).slope)


def _megabytes(style: str) -> float:
    """Greatest memory of a fresh process that builds the style's default bait, less that of one that builds none."""
    context = multiprocessing.get_context("fork")
    with context.Pool(1, maxtasksperchild=1) as pool:
        return max(0.0, pool.apply(_grown, (style,)))


def _grown(style: str) -> float:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    _joined(read_request({"style": style}), 0.02)
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
