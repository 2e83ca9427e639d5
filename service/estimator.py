"""Estimates in the web process: one at a time, a short line before it, and then a refusal.

Estimates are arithmetic and hold the interpreter; two at once would only make each other, and every status
call beside them, slower. Measured at ten sliders: with one at a time and a switch interval of 0.5 ms a
status call takes 2 ms at the median and 5 at the 99th percentile, instead of 157 and 449.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

from service.turns import Result, Turns
from worker.request import Request

SWITCH_INTERVAL_S = 0.0005

Estimate = dict[str, object]


class Estimator:
    """Runs `estimate` for one request at a time; at most `waiting` more may stand in line."""

    def __init__(self, estimate: Callable[[Request], Estimate], waiting: int) -> None:
        self._estimate = estimate
        self._turns = Turns(waiting, "Too many estimates are waiting; ask again in a moment.")
        sys.setswitchinterval(SWITCH_INTERVAL_S)

    def __call__(self, request: Request) -> Estimate:
        """The estimate, after those before it. Raises Busy where the line is full."""
        return self.in_turn(lambda: self._estimate(request))

    def in_turn(self, work: Callable[[], Result]) -> Result:
        """Other arithmetic of some length, in the same line. Raises Busy where it is full."""
        return self._turns.run(work)

    @property
    def full(self) -> bool:
        """Whether the next estimate would be refused."""
        return self._turns.full
