"""Changes of shape that mend a place which only cuts through the solid see: each is cut again before it is told.

No arithmetic tells what a dial does to such a place, so its steps are tried: a few of each dial, and few in all, for
every try makes the solid anew and cuts it (half a second of a worm, six of a shrimp).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from worker.checks.answer import Remedy
from worker.checks.cuts import Torn, torn
from worker.checks.joint_pull import AIM, spare_pull
from worker.checks.subject import Subject
from worker.errors import BuildFailed
from worker.measures.solid.tear_section import TearSection
from worker.values.dial import Dial

MOST_TRIES, OF_A_DIAL, LIMBS_A_SHARE = 8, 4, 3
"""Shapes that are cut for remedies, and of one dial. So many limbs make a try take as long again as that of a bait
without: then half as many are made, a third of them for twice as many limbs, and one at least. That is about ten
seconds; a build has half a minute, and most of it has to be left (measured on lizards, craws and shrimps)."""
FIRST_SHARE = 0.05
"""Of a dial's steps where it is tried first; the way then at least doubles."""
LITTLE = 1.02
"""A dial whose first try gains no more than this is the wrong one."""
BEYOND = 1.05
"""By so much further than the line through the last two tries says: the pull does not rise evenly."""

CutAgain = Callable[[Subject], Sequence[TearSection] | None]
"""The tear sections of another shape; none of one in pieces."""


def holds(subject: Subject, sections: Sequence[TearSection]) -> bool:
    """Whether every joint and every cut holds what remedies aim at."""
    return spare_pull(subject) >= 0 and _share(subject, sections) >= 1


def shaped(weakest: Torn, cut_again: CutAgain) -> Remedy | None:
    """The first dial of all strands of the kind that tears that is enough; None where `MOST_TRIES` find none."""
    subject, kind = weakest.subject, weakest.section.kind
    most = max(1, MOST_TRIES // (1 + len(subject.limbs) // LIMBS_A_SHARE))
    tries = _Tries(cut_again, weakest.section.extremity, weakest.share / AIM, most)
    for dial in subject.request.bait.dials("joint_pull" if kind == "trunk" else f"joint_pull of {kind}"):
        found = tries.enough(subject, dial)
        if found is not None:
            steps, gives = found
            place = weakest.section.extremity.replace("_", " ")
            text = f"{dial.words(steps)}: cut again, the {place} holds {gives:.3g} N"
            return Remedy(text, dial.patch(steps), gives)
    return None


@dataclass
class _Tries:
    cut_again: CutAgain
    extremity: str
    present: float
    left: int

    def enough(self, subject: Subject, dial: Dial) -> tuple[int, float] | None:
        """Steps of a dial that hold, and the pull, N, at which the extremity then comes off."""
        last, steps = (0, self.present), max(1, round(FIRST_SHARE * dial.most))
        for _ in range(min(OF_A_DIAL, self.left)):
            self.left -= 1
            other = subject.with_patch(dial.patch(steps))
            sections = None if other is None else self._cut(other)
            if other is None or not sections:
                return None
            if holds(other, sections):
                own = [torn(other, each) for each in sections if each.extremity == self.extremity]
                nearest = own or [torn(other, each) for each in sections]
                return steps, min(nearest, key=lambda each: each.share).pulls[1]
            share = _share(other, sections)
            if share < LITTLE * last[1] or steps == dial.most:
                return None
            line = steps + (1 - share) * (steps - last[0]) / (share - last[1])
            last, steps = (steps, share), min(max(2 * steps, math.ceil(BEYOND * line)), dial.most)
        return None

    def _cut(self, subject: Subject) -> Sequence[TearSection] | None:
        try:
            return self.cut_again(subject)
        except BuildFailed:
            return None


def _share(subject: Subject, sections: Sequence[TearSection]) -> float:
    """The least pull over what remedies aim at."""
    return min((torn(subject, section).share for section in sections), default=0.0) / AIM
