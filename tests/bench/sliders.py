"""Ten estimates a second, as somebody moves a slider, and what becomes of status calls meanwhile."""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

from service.stack.client import Client
from service.stack.demo_stack import running_stack
from service.stack.serve import CHECKOUT
from tests.bench.measure import Row

SECONDS = 20.0
A_SECOND = 10
STATUS_EACH_S = 0.02
MOVED: dict[str, tuple[str, float, float, int]] = {
    "beaded_worm": ("bead_diameter", 8.0, 10.0, 60),
    "craw": ("length", 85.0, 100.0, 60),
}
"""The parameter that is moved, from where to where, and in how many steps."""


def rows() -> Iterator[Row]:
    """The service is started for this, on a port and a state folder of its own."""
    with running_stack() as (client, _):
        bait = client.build({"style": "beaded_worm", "outputs": ["stl"]}, 60)
        alone = _measured(client, bait["links"]["self"], [])
        floor = f"with nothing else asked: {_in_words(alone[0])}"
        for style in MOVED:
            status, *sliders = _measured(client, bait["links"]["self"], [_estimates(client, style)])
            yield _row(f"GET of an existing bait beside ten estimates a second of a moving {style}", status, floor)
            (slider,) = sliders
            told = f"{sum(slider['status'].values())} of {int(SECONDS * A_SECOND)} asked, {slider['status']}"
            yield Row(f"the estimates of that {style}", _in_words(slider), told, "", "all answered")


def _row(what: str, told: dict[str, Any], floor: str) -> Row:
    return Row(what, _in_words(told), floor, f"{_percentile(told['times'], 99):.1f} ms at p99", "under 10 ms at p99")


def _estimates(client: Client, style: str) -> dict[str, Any]:
    name, low, high, steps = MOVED[style]
    values = [round(low + (high - low) * step / steps, 4) for step in range(steps + 1)]
    bodies = [{"style": style, "params": {name: value}} for value in values + values[-2:0:-1]]
    return {"port": client.port, "method": "POST", "path": "/v1/estimates", "bodies": bodies, "each_s": 1 / A_SECOND}


def _measured(client: Client, path: str, beside: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What status calls saw, and then those beside them; each from a process of its own, all at once."""
    status = {"port": client.port, "method": "GET", "path": path, "bodies": [None], "each_s": STATUS_EACH_S}
    running = []
    for plan in (status, *beside):
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.bench.paced"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=CHECKOUT,
        )
        assert process.stdin is not None
        process.stdin.write(json.dumps({**plan, "seconds": SECONDS}))
        process.stdin.close()
        process.stdin = None
        running.append(process)
    answers = []
    for process in running:
        told, _ = process.communicate(timeout=SECONDS + 120)
        if process.returncode:
            raise RuntimeError("the calls broke off")
        answers.append(json.loads(told))
    return answers


def _percentile(times: list[float], which: int) -> float:
    """In ms."""
    return statistics.quantiles(times, n=100, method="inclusive")[which - 1] * 1000


def _in_words(told: dict[str, Any]) -> str:
    times = told["times"]
    return f"{statistics.median(times) * 1000:.1f} ms at the median, {_percentile(times, 99):.1f} ms at p99"
