"""The fits of all callers: records like those of baits in a lane of their own, small ones done at once."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, ClassVar

from worker.records.attempts import Attempts
from worker.records.baits import Baits, Submittable
from worker.records.carrying import Done, carry_out, failure_of_ours
from worker.records.connect import reporting_absence
from worker.records.names import FIT_LANE, BaitName, Kind
from worker.records.presence import mark_of
from worker.records.tally import tally_steps
from worker.records.view import Submission, now_text
from worker.settings import Settings

Work = Callable[[dict[str, Any]], Done]


class Fits(Baits):
    """See `Baits`: the same calls, the same promises."""

    kind: ClassVar[Kind] = "fit"
    own_lane: ClassVar[str] = FIT_LANE

    @staticmethod
    def most_waiting(settings: Settings) -> int:
        """How many may wait."""
        return settings.fit_queue_limit

    def do(self, caller: str, request: Submittable, work: Work, trace: str = "") -> Submission:
        """Take a request as `submit` does, and carry it out here, before this returns, if that sets anything off.

        It is under way and leased from the moment it is taken: where this process dies, or is held up for longer than
        a lease, a worker takes it over. Raises what `submit` does; a search that fails is a fit that has failed.
        """
        taken = self._take(caller, request, self.own_lane, trace, begun=(now_text(), mark_of(os.getpid())))
        if not taken.created:
            return taken
        fit = BaitName(caller, request.id)
        with reporting_absence():
            timings = carry_out(
                self.kind,
                Attempts(self._connection),
                lambda: self._artifacts,
                fit.attempt(taken.bait.attempt),
                {"request": taken.bait.request, "created": taken.bait.created, "started": taken.bait.created},
                work,
                failure_of_ours,
            )
        if timings is not None:
            tally_steps(self._connection, timings)
        return Submission(self.view(caller, request.id) or taken.bait, created=True)
