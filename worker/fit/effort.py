"""How much a fit may do, told by arithmetic before any of it is done: evaluations, and a bound in milliseconds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from worker.errors import Fault
from worker.fit.figures import FIGURES
from worker.styles.house import style_of
from worker.values.parameter import Parameter

MOST_EVALUATIONS = 6000
EVALUATIONS = Parameter(
    "evaluations",
    "whole",
    "Evaluations",
    "Baits that are worked out on the way, at most. Left out, it goes by how much is free.",
    default=600,
    minimum=20,
    maximum=MOST_EVALUATIONS,
    step=10,
)
MOST_MS = 240_000.0
"""A fit that may take longer is refused before it begins (judgement)."""
SMALL_MS = 300.0
"""A fit that takes no longer may be answered without a queue (judgement)."""


class Sized(Protocol):
    """What is asked of a fit's request here."""

    @property
    def normal(self) -> dict[str, Any]:
        """The normal form."""
        ...


def evaluations_of(normal: Mapping[str, Any]) -> int:
    """Baits that a fit in normal form works out, at most."""
    return int(normal["evaluations"])


def usual_evaluations(normal: Mapping[str, Any]) -> int:
    """Where a request does not say: by how much is free, half as many more for a front, as far as that may take."""
    usual = (150 + 250 * len(normal["free"])) * (3 if "front" in normal else 2) // 2
    return min(usual - usual % int(EVALUATIONS.step), most_evaluations(normal))


def most_evaluations(normal: Mapping[str, Any]) -> int:
    """How many baits may be worked out in the time that a fit may take; on the parameter's steps."""
    one, costly = _costs(normal)
    most = int(min((MOST_MS - ENDS * costly) / one, MOST_EVALUATIONS))
    return most - most % int(EVALUATIONS.step)


COST_MS: dict[str, tuple[float, float]] = {
    "beaded_worm": (4, 6),
    "jointed_worm": (5, 7),
    "ribbed_worm": (7, 12),
    "craw": (150, 250),
    "stick_worm": (5, 7),
    "grub": (75, 85),
    "paddle_tail": (50, 130),
    "leech": (10, 20),
    "tube": (3, 75),
    "creature": (70, 105),
    "shrimp": (230, 340),
    "lizard": (30, 50),
    "pull_bar": (3, 5),
    "bend_rod": (2, 3),
}
"""By style: one bait without and with the figures that need its volume, ms of one core.

Measured on a busy machine with baits near the defaults, each new to every cache; a quiet one takes about half of it.
"""
USUAL_COST_MS = (75.0, 150.0)
ENDS = 12
"""What an answer costs beside its search, in baits: the best one's whole estimate, and the drawings of a front."""


def budget(request: Sized) -> tuple[int, float]:
    """Evaluations at most, and the ms of one core that these take at most by what baits of the style cost."""
    one, costly = _costs(request.normal)
    evaluations = evaluations_of(request.normal)
    return evaluations, evaluations * one + ENDS * costly


def _costs(normal: Mapping[str, Any]) -> tuple[float, float]:
    """ms of one bait of a fit, and of one with its volume."""
    cheap, costly = COST_MS.get(style_of(normal).built_in, USUAL_COST_MS)
    return costly if needs_volume(normal) else cheap, costly


def needs_volume(normal: Mapping[str, Any]) -> bool:
    """Whether any figure that is asked for needs the volume of the whole bait."""
    asked = [name for name in normal["require"] if name in FIGURES]
    asked += [name for way, name in normal["goal"].items() if isinstance(name, str)]
    asked += [name for name in normal.get("front", {}).values() if isinstance(name, str)]
    return any(FIGURES[name].costly for name in asked)


def is_small(request: Sized) -> bool:
    """Whether it may be answered without a queue."""
    return budget(request)[1] <= SMALL_MS


def work_faults(normal: Mapping[str, Any]) -> Iterator[Fault]:
    """More work than a fit may be, and how many evaluations would do."""
    one = _Normal(dict(normal))
    evaluations, milliseconds = budget(one)
    if milliseconds <= MOST_MS:
        return
    most = most_evaluations(normal)
    detail = (
        f"{evaluations} baits of this style may take {milliseconds / 1000:.0f} s to work out, over the "
        f"{MOST_MS / 1000:.0f} s that a fit may take; {most} would do."
    )
    yield Fault("/evaluations", "too-much-work", detail, {"minimum": EVALUATIONS.minimum, "maximum": most})


@dataclass(frozen=True)
class _Normal:
    normal: dict[str, Any]
