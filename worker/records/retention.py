"""Which finished baits go, by age and by bytes: those asked for least lately, found in passes over the shards.

A pass removes what is too old, and on the way adds up what stays, by the minute in which it was last asked for.
From that sum the next pass knows which minutes are too many bytes ago. So nothing is held in memory but a number
a minute, however many baits there are, and nothing is kept between starts.
"""

from __future__ import annotations

import logging
import math
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from worker.records.artifact_store import ArtifactStore, Kept
from worker.records.names import BaitName
from worker.settings import Settings

# A bait that was built or asked for as lately stays, whatever there is of it: whoever asked is about to fetch files.
# Longer than the store remembers how a bait ended, and than uses go unnoted (NOTE_USE_EVERY_S in `manifests`).
SURE_S = 900.0
MINUTE_S = 60
# A wall clock that was set by more than this is believed only once it has stood so for a day: one that runs a year
# ahead for an hour would sweep everything.
LARGEST_STEP_S = 3600.0
BELIEVED_AFTER_S = 86_400.0
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Horizon:
    """All baits last asked for before this minute are too many bytes ago, and of this minute's so many bytes."""

    minute: float = -math.inf
    surplus: int = 0


def horizon_of(held: Mapping[int, int], most_bytes: float) -> Horizon:
    """What must go of the bytes held by minute, so that at most so many are left."""
    total = 0
    for minute in sorted(held, reverse=True):
        total += held[minute]
        if total > most_bytes:
            return Horizon(minute, math.ceil(total - most_bytes))
    return Horizon()


def steady_seconds() -> float:
    """A clock that nobody can set; on Linux it goes on while the machine sleeps."""
    return time.clock_gettime(time.CLOCK_BOOTTIME) if sys.platform == "linux" else time.monotonic()


class Retention:
    """Makes passes. Two at once over the same folders, on two hosts, remove nothing that one would not."""

    def __init__(
        self,
        artifacts: ArtifactStore,
        keep_s: float,
        most_bytes: float,
        clock: Callable[[], float] = time.time,
        steady: Callable[[], float] = steady_seconds,
    ) -> None:
        self._artifacts = artifacts
        self._keep_s = keep_s
        self._most_bytes = most_bytes
        self._clock = clock
        self._steady = steady
        self._believed = clock() - steady()  # how far the wall clock is ahead of the one that nobody can set
        self._doubted_since: float | None = None
        self._horizon = Horizon()
        self._surplus = 0

    @classmethod
    def open(cls, settings: Settings, artifacts: ArtifactStore) -> Retention:
        """As these settings have it."""
        keep_s = settings.keep_hours * 3600.0 or math.inf
        return cls(artifacts, keep_s, settings.keep_mib * 1024.0**2 or math.inf)

    def sweep(self) -> None:
        """One pass; a second one where the first has found that there are too many bytes."""
        self.look()
        if self._horizon != Horizon():
            self.look()
        if self._horizon != Horizon():
            _log.warning("more is kept than may be, for it was asked for lately", extra={"may_be": self._most_bytes})

    def look(self) -> list[BaitName]:
        """One pass over all shards, unless the clock is in doubt. Returns what was removed."""
        if self._doubts_the_clock():
            return []
        held: Counter[int] = Counter()
        self._surplus = self._horizon.surplus
        removed = [bait for shard in self._artifacts.shards() for bait in self._look_at(shard, held)]
        self._horizon = horizon_of(held, self._most_bytes)
        if removed:
            _log.info("baits were removed", extra={"removed": len(removed), "bytes_left": held.total()})
        return removed

    def _doubts_the_clock(self) -> bool:
        now = self._steady()
        ahead = self._clock() - now
        if abs(ahead - self._believed) <= LARGEST_STEP_S:
            self._believed, self._doubted_since = ahead, None  # small steps are how clocks are kept right
            return False
        if self._doubted_since is None:
            self._doubted_since = now
            _log.warning(
                "the clock was set; no bait is removed for a day", extra={"by_s": round(ahead - self._believed)}
            )
        if now - self._doubted_since < BELIEVED_AFTER_S:
            return True
        self._believed, self._doubted_since = ahead, None
        return False

    def _look_at(self, shard: str, held: Counter[int]) -> Iterator[BaitName]:
        # All of a shard is listed before any of it goes: what a folder yields while it changes is anybody's guess.
        for kept in list(self._artifacts.kept_in(shard)):
            if self._may_go(kept) and self._artifacts.delete_unused(kept):
                yield kept.bait
            else:
                held[_minute(kept)] += kept.bytes

    def _may_go(self, kept: Kept) -> bool:
        idle_s = self._clock() - kept.used / 1e9
        if idle_s < SURE_S:  # also where a clock was set back, and the use seems to lie in the future
            return False
        if idle_s > self._keep_s or _minute(kept) < self._horizon.minute:
            return True
        if _minute(kept) > self._horizon.minute or self._surplus <= 0:
            return False
        self._surplus -= kept.bytes
        return True


def _minute(kept: Kept) -> int:
    return kept.used // (MINUTE_S * 10**9)
