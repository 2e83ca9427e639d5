"""What an estimate costs, and how it grows."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from typing import Any

import numpy as np

from tests.bench.measure import Row, Work, in_turns
from tests.bench.worms import ESTIMATED
from worker.estimate import estimate
from worker.request import Request, read_request

COUNTS = (10, 100, 1000)


def rows() -> Iterator[Row]:
    """Estimates, then their growth."""
    yield from _estimates()
    yield from _growth()


def _estimates() -> Iterator[Row]:
    def work(body: dict[str, Any]) -> Work:
        return lambda: estimate(read_request(body))

    times = in_turns({name: work(body) for name, body in ESTIMATED.items()}, rounds=41)
    for number, (name, milliseconds) in enumerate(times.items()):
        bar = "under 5 ms" if number < 2 else ""
        yield Row(f"estimate: {name}", f"{milliseconds:.1f} ms of CPU", "", f"{milliseconds:.1f} ms", bar)


def _growth() -> Iterator[Row]:
    """Strands, outline, joints and checks of ever longer worms, past the bounds that a request is held to."""
    for title, params in (
        ("round", {}),
        ("oval, tapered", {"taper": 0.6, "bead_height_ratio": 0.8, "bead_length_ratio": 1.2}),
    ):
        base = read_request({"style": "beaded_worm", "params": params, "require": {"joint_pull_n": 4}}).normal

        def work(count: int, base: dict[str, Any] = base) -> Work:
            own = base["params"] | {"bead_count": count, "length": 7.0 * count}
            request = Request.from_normal(base | {"params": own})
            return lambda: estimate(request)

        times = in_turns({str(count): work(count) for count in COUNTS}, rounds=21)
        measured = [times[str(count)] for count in COUNTS]
        exponent = statistics.linear_regression(np.log(COUNTS).tolist(), np.log(measured).tolist()).slope
        steepest = float(np.log10(measured[2] / measured[1]))
        yield Row(
            f"core arithmetic, {title} worm of 10, 100 and 1,000 beads",
            ", ".join(f"{milliseconds:.1f}" for milliseconds in measured) + " ms of CPU",
            "beads",
            f"exponent {exponent:.2f} (from 100 to 1,000: {steepest:.2f})",
            "at most 1.1",
        )
