"""What is measured, as rows of a table, and what the machine did meanwhile."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

import psutil


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: the figure, what it stands against, its bar (and whether it holds), and who else used the machine."""

    what: str
    ours: str
    against: str
    figure: str
    bar: str
    held: bool | None = None
    beside: str = ""

    @property
    def verdict(self) -> str:
        """In a word; nothing for what is only stated."""
        return "" if self.held is None else "held" if self.held else "**missed**"


@dataclass(slots=True)
class Beside:
    """What others took of the machine's processors while a section ran: a share of all of them, 0 to 1."""

    share: float = field(default=0.0)

    def of(self, figure: Figure) -> Figure:
        """The figure with that share in its last cell."""
        return replace(figure, beside=f"{100 * self.share:.0f} %")


@contextmanager
def watched() -> Iterator[Beside]:
    """Counts processor time from here to the end: all that was not idle, less our own and our children's.

    A child that was ended and reaped by another process than its parent is counted among the others: what is told is
    never too little.
    """
    told = Beside()
    begun, busy, own = time.monotonic(), _busy(), _own()
    try:
        yield told
    finally:
        whole = (time.monotonic() - begun) * (psutil.cpu_count() or 1)
        told.share = max(0.0, min(1.0, ((_busy() - busy) - (_own() - own)) / whole))


def _busy() -> float:
    times = psutil.cpu_times()
    return sum(times) - times.idle - getattr(times, "iowait", 0.0) - getattr(times, "guest", 0.0)


def _own() -> float:
    """Of this process, of those below it that live, and of those that ended and were waited for."""
    whole = 0.0
    for process in (psutil.Process(), *psutil.Process().children(recursive=True)):
        try:
            whole += sum(process.cpu_times()[:4])  # user, system, and both of the children that have ended
        except psutil.NoSuchProcess:
            continue
    return whole


def percentile(times: Sequence[float], share: float) -> float:
    """The least of the times that so many of a hundred do not exceed (nearest rank)."""
    ordered = sorted(times)
    return ordered[max(0, -(-len(ordered) * int(share) // 100) - 1)]


def in_ms(times: Sequence[float]) -> str:
    """Median, 99th percentile and longest, of seconds."""
    middle, high, longest = (1000 * value for value in (percentile(times, 50), percentile(times, 99), max(times)))
    return f"median {middle:.1f}, p99 {high:.1f}, longest {longest:.1f} ms of {len(times)}"


def as_table(figures: Sequence[Figure]) -> str:
    """Markdown."""
    head = "| what | ours | against | figure | bar | | others' share |\n|---|---|---|---|---|---|---|"
    rows = [
        f"| {one.what} | {one.ours} | {one.against} | {one.figure} | {one.bar} | {one.verdict} | {one.beside} |"
        for one in figures
    ]
    return "\n".join([head, *rows])
