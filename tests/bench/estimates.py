"""How many estimates a second one core gives of random baits of each style, none of them asked for before."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings

from tests.bench.measure import Row
from tests.property.test_every_bait import any_bodies
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.styles import STYLES

BAITS = 40
MOST_DRAWN = 8
"""Of so many draws for each bait that is wanted; the others are refused."""
CRAW_MS, WORM_MS = 20.0, 5.0
_WORMS = ("beaded_worm", "jointed_worm", "ribbed_worm", "stick_worm")


def rows() -> Iterator[Row]:
    """One row a style: CPU time of the estimate of a request that was just read, and with its reading."""
    for style in STYLES:
        told, read = zip(*(_timed(body) for body in drawn(style)), strict=True)
        middle, tenth = statistics.median(told), sorted(told)[int(0.9 * len(told))]
        bar = f"under {WORM_MS if style in _WORMS else CRAW_MS:g} ms" if style in (*_WORMS, "craw") else ""
        whole = statistics.median(one + other for one, other in zip(told, read, strict=True))
        yield Row(
            f"estimates of {len(told)} random baits: {style.replace('_', ' ')}",
            f"median {middle:.1f} ms of CPU, nine of ten under {tenth:.1f} ms",
            f"{whole:.1f} ms with reading the request",
            f"{1000 / middle:.0f} a second on one core",
            bar,
        )


def drawn(style: str) -> list[dict[str, Any]]:
    """Bodies that the reader takes, the same ones each time."""
    found: list[dict[str, Any]] = []

    @settings(
        max_examples=BAITS * MOST_DRAWN,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(any_bodies(style))
    def keep(body: dict[str, Any]) -> None:
        if len(found) < BAITS and _read(body) is not None:
            found.append(body)

    keep()
    return found


def _read(body: dict[str, Any]) -> Request | None:
    try:
        return read_request(body)
    except InfeasibleRequest:
        return None


def _timed(body: dict[str, Any]) -> tuple[float, float]:
    """CPU ms of the estimate and of reading."""
    begin = time.process_time()
    request = read_request(body)
    between = time.process_time()
    estimate(request)
    return 1000 * (time.process_time() - between), 1000 * (between - begin)
