"""Two things timed in turns, so that a machine's moods fall on both; medians, and the median of the paired ratios."""

from __future__ import annotations

import gc
import os
import platform
import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import version

Work = Callable[[], object]
Clock = Callable[[], float]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: a figure, what it stands against, and the bar that it is held to."""

    what: str
    ours: str
    against: str
    figure: str
    bar: str


@dataclass(frozen=True, slots=True)
class Pair:
    """Medians in ms, and the median of rival over ours, round by round."""

    ours: float
    rival: float
    times_faster: float

    @property
    def times_as_long(self) -> float:
        """Ours over the rival."""
        return 1 / self.times_faster


def paired(ours: Work, rival: Work, rounds: int) -> Pair:
    """Each done once unmeasured, then in turns, the first to go changing every round. Wall clock."""
    ours(), rival()
    mine: list[float] = []
    other: list[float] = []
    with _no_collection():
        for number in range(rounds):
            order = ((ours, mine), (rival, other))
            for work, times in order if number % 2 == 0 else order[::-1]:
                times.append(_once(work, time.perf_counter))
    return Pair(_ms(mine), _ms(other), statistics.median(b / a for a, b in zip(mine, other, strict=True)))


def in_turns(works: dict[str, Work], rounds: int, clock: Clock = time.process_time) -> dict[str, float]:
    """Median ms of each, all of them once a round. CPU time of the process unless another clock is given."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for work in works.values():
        work()
    with _no_collection():
        for _ in range(rounds):
            for name, work in works.items():
                times[name].append(_once(work, clock))
    return {name: _ms(measured) for name, measured in times.items()}


def machine() -> str:
    """Date, processor, versions and how busy the machine is."""
    load = ", ".join(f"{average:.1f}" for average in os.getloadavg())
    packages = ", ".join(f"{name} {version(name)}" for name in ("numpy", "manifold3d", "gunicorn"))
    return (
        f"{datetime.now(UTC):%Y-%m-%d %H:%M} UTC, {_processor()}, {os.cpu_count()} cores, {platform.system()}, "
        f"Python {platform.python_version()}, {packages}; load averages {load}"
    )


def as_table(rows: list[Row]) -> str:
    """Markdown."""
    head = "| what | ours | against | figure | bar |\n|---|---|---|---|---|"
    return "\n".join([head, *(f"| {r.what} | {r.ours} | {r.against} | {r.figure} | {r.bar} |" for r in rows)])


def _once(work: Work, clock: Clock) -> float:
    begin = clock()
    work()
    return clock() - begin


def _ms(seconds: list[float]) -> float:
    return statistics.median(seconds) * 1000


@contextmanager
def _no_collection() -> Iterator[None]:
    """What one of them leaves behind must not be swept up at the other's expense."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def _processor() -> str:
    try:
        with open("/proc/cpuinfo", encoding="utf-8") as told:
            names = [line.partition(":")[2].strip() for line in told if line.startswith("model name")]
    except OSError:
        names = []
    return names[0] if names else platform.machine()
