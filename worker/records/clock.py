"""The wall clock, as far as it can be believed by whoever removes things by their age."""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Callable

# A wall clock that was set by more than this is believed only once it has stood so for a day: one that runs a year
# ahead for an hour would sweep everything.
LARGEST_STEP_S = 3600.0
BELIEVED_AFTER_S = 86_400.0
_log = logging.getLogger(__name__)


def steady_seconds() -> float:
    """A clock that nobody can set; on Linux it goes on while the machine sleeps."""
    return time.clock_gettime(time.CLOCK_BOOTTIME) if sys.platform == "linux" else time.monotonic()


class TrustedClock:
    """Goes by the clock that nobody can set, and lets the wall clock correct it by small steps, or after a day."""

    def __init__(self, clock: Callable[[], float] = time.time, steady: Callable[[], float] = steady_seconds) -> None:
        self._clock = clock
        self._steady = steady
        self._believed = clock() - steady()  # how far the wall clock is ahead of the one that nobody can set
        self._doubted_since: float | None = None

    def now(self) -> float | None:
        """Seconds of the epoch; None while the wall clock is in doubt, and nothing is to be removed by its age."""
        steady = self._steady()
        ahead = self._clock() - steady
        if abs(ahead - self._believed) <= LARGEST_STEP_S:  # small steps are how clocks are kept right
            self._believed, self._doubted_since = ahead, None
            return steady + ahead
        if self._doubted_since is None:
            self._doubted_since = steady
            _log.warning(
                "the clock was set; nothing is removed for a day", extra={"by_s": round(ahead - self._believed)}
            )
        if steady - self._doubted_since < BELIEVED_AFTER_S:
            return None
        self._believed, self._doubted_since = ahead, None
        return steady + ahead
