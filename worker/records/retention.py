"""Which finished baits go, by age and by bytes: those asked for least lately, found in passes over the shards.

A pass removes what is too old, and on the way adds up what stays, by the minute in which it was last asked for.
From that sum a second pass knows which minutes are too many bytes ago. So nothing is held in memory but a number
a minute, however many baits there are, and nothing is kept between sweeps: others remove baits meanwhile.
"""

from __future__ import annotations

import logging
import math
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from worker.records.artifact_store import ArtifactStore, Kept
from worker.records.clock import TrustedClock
from worker.records.names import BaitName
from worker.settings import Settings

# A bait that was built or asked for as lately stays, whatever there is of it: whoever asked is about to fetch files.
# Longer than the store remembers how a bait ended, and than uses go unnoted (NOTE_USE_EVERY_S in `manifests`).
SURE_S = 900.0
MINUTE_S = 60
_log = logging.getLogger(__name__)

# Of these baits of a caller, those that are not to go whatever their age: a batch that has not ended has them.
Held = Callable[[str, Collection[str]], Collection[str]]


def nothing_held(caller: str, bait_ids: Collection[str]) -> Collection[str]:
    """Where there are no batches."""
    return ()


def do_nothing() -> None:
    """Between two shards."""


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


class Retention:
    """Makes passes. Two at once over the same folders remove nothing twice, but each goes by its own sum."""

    def __init__(
        self,
        artifacts: ArtifactStore,
        keep_s: float,
        most_bytes: float,
        clock: TrustedClock,
        held: Held = nothing_held,
        between: Callable[[], None] = do_nothing,
    ) -> None:
        self._artifacts = artifacts
        self._keep_s = keep_s
        self._most_bytes = most_bytes
        self._clock = clock
        self._held = held
        self._between = between
        self._horizon = Horizon()
        self._surplus = 0

    @classmethod
    def open(
        cls,
        settings: Settings,
        artifacts: ArtifactStore,
        clock: TrustedClock,
        held: Held,
        between: Callable[[], None],
    ) -> Retention:
        """As these settings have it. `between` is called often during a pass, and ends it by an exception."""
        keep_s = settings.keep_hours * 3600.0 or math.inf
        return cls(artifacts, keep_s, settings.keep_mib * 1024.0**2 or math.inf, clock, held, between)

    def sweep(self) -> list[BaitName]:
        """One pass by age; a second one where it has found that there are too many bytes. Returns what was removed."""
        self._horizon = Horizon()
        removed = self._look()
        if self._horizon != Horizon():
            removed += self._look()
        if self._horizon != Horizon():
            why = "it was asked for lately, or batches that have not ended have it"
            _log.warning("more is kept than may be", extra={"may_be": self._most_bytes, "for": why})
        if removed:
            _log.info("baits were removed", extra={"removed": len(removed)})
        return removed

    def _look(self) -> list[BaitName]:
        """One pass over all shards, unless the clock is in doubt. Returns what was removed."""
        if (now := self._clock.now()) is None:
            self._horizon = Horizon()
            return []
        held: Counter[int] = Counter()
        self._surplus = self._horizon.surplus
        removed = [bait for shard in self._artifacts.shards() for bait in self._look_at(shard, now, held)]
        self._horizon = horizon_of(held, self._most_bytes)
        return removed

    def _look_at(self, shard: str, now: float, bytes_left: Counter[int]) -> Iterator[BaitName]:
        self._between()
        # All of a shard is listed before any of it goes: what a folder yields while it changes is anybody's guess.
        found = list(self._artifacts.kept_in(shard))
        old = {kept.bait.id for kept in found if self._may_go(kept, now)}
        # Looked at before they go, marked before they are held: what a batch comes to hold meanwhile is not unused.
        stays = set(self._held(found[0].bait.caller, old)) if old else set()
        for kept in found:
            if kept.bait.id in old - stays and self._has_to(kept, now) and self._artifacts.delete_unused(kept):
                if _minute(kept) == self._horizon.minute:
                    self._surplus -= kept.bytes
                self._between()
                yield kept.bait
            else:
                bytes_left[_minute(kept)] += kept.bytes

    def _may_go(self, kept: Kept, now: float) -> bool:
        # Not what was asked for just now; nor what seems to be asked for in the future, where a clock was set back.
        return now - kept.used / 1e9 >= SURE_S and (self._is_old(kept, now) or _minute(kept) <= self._horizon.minute)

    def _has_to(self, kept: Kept, now: float) -> bool:
        """Of the last minute that has to go only so many."""
        return self._is_old(kept, now) or _minute(kept) < self._horizon.minute or self._surplus > 0

    def _is_old(self, kept: Kept, now: float) -> bool:
        return now - kept.used / 1e9 > self._keep_s


def _minute(kept: Kept) -> int:
    return kept.used // (MINUTE_S * 10**9)
