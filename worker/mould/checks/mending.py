"""What is offered where a check of a mould fails and knows no remedy by itself: changes that have been tried."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import replace
from functools import cached_property

from worker.checks.answer import Answer, Remedy
from worker.checks.subject import Subject
from worker.checks.thin_feature import thin_feature
from worker.mould.checks.filling import fill, vent
from worker.mould.checks.hollow import core
from worker.mould.checks.parts import island
from worker.mould.checks.patches import both
from worker.mould.checks.search import Change, Laid, Search, patched
from worker.mould.checks.shapes import TIERS, reshaped, without_hollows
from worker.mould.core import CUT, FREE_AT_BOTH_ENDS, cored
from worker.mould.mould import Mould
from worker.values.mould import BED

RELEASE = ("undercut", "trapped")
Check = Callable[[Mould], Answer | None]


def mended(subject: Subject, mould: Mould, answers: list[Answer]) -> list[Answer]:
    """The answers, each that fails without a remedy with the first that was found, or with how many were tried."""
    if not subject.mends:
        return answers
    mending = _Mending(subject, mould)
    return [mending.of(each) if each.verdict == "fail" and not each.remedies else each for each in answers]


class _Mending:
    def __init__(self, subject: Subject, mould: Mould) -> None:
        self.subject, self.mould = subject, mould
        self.search = Search(subject, mould)

    def of(self, answer: Answer) -> Answer:
        """An answer that fails, with a remedy."""
        found = self._remedy(answer)
        if found is not None:
            return replace(answer, remedies=(found,))
        number = self.search.tried
        tried = f"{number} change that was" if number == 1 else f"{number} changes that were"
        return replace(answer, text=f"{answer.text} Of {tried} tried none mends it; the search ends there.")

    def _remedy(self, answer: Answer) -> Remedy | None:
        if answer.check in RELEASE:
            out = self._out
            return None if out is None else out.remedy(out.share if answer.check == "undercut" else 0.0)
        if answer.check == "fill":
            return self._filled()
        if answer.check == "bed":
            return self._larger_bed()
        known: dict[str, tuple[Check, Callable[[Answer], Iterable[Change]]]] = {
            "island": (_whole_and_cored, self._whole),
            "core": (core, self._cored),
            "vent": (vent, self._vented),
        }
        if answer.check not in known:
            return None
        check, changes = known[answer.check]
        return self.search.first(check, changes(answer))

    def _filled(self) -> Remedy | None:
        """What mends thin features up to what the mould's material fills."""
        limit = {"checks": {"thin_feature": {"limit": self.mould.material.least_fill.typical}}}
        strict = self.subject.with_patch(limit)
        thin = None if strict is None else thin_feature(strict)
        for remedy in () if thin is None else thin.remedies:
            other = patched(self.subject, remedy.patch)
            answer = None if other is None else fill(other, self.mould)
            if answer is not None and answer.verdict == "pass":
                return replace(remedy, gives=answer.value)
        return None

    def _larger_bed(self) -> Remedy | None:
        """Another machine, where no smaller mould of the bait fits this one."""
        extents = [part.extent for part in self.mould.parts.values()]
        needed = {each.name: max(size[axis] for size in extents) for axis, each in enumerate(BED)}
        sizes = {
            each.name: max(self.mould.asked["bed"][each.name], math.ceil(needed[each.name] / each.step) * each.step)
            for each in BED
        }
        if any(sizes[each.name] > each.maximum for each in BED):
            return None
        words = "a machine with a bed of {length:g} x {width:g} x {height:g} mm".format(**sizes)
        return Remedy(words, {"mould": {"bed": sizes}}, max(needed[name] / sizes[name] for name in sizes))

    @cached_property
    def _out(self) -> Laid | None:
        return self.search.coming_out()

    def _coming_out(self) -> Iterator[Change]:
        if self._out is not None:
            yield self._out.words, self._out.patch

    def _whole(self, answer: Answer) -> Iterator[Change]:
        """Without what leaves an island: a hollow, or a face around a loop of limbs."""
        yield from self._coming_out()
        hollow, _ = cored(self.subject.hollows)
        if hollow and self.mould.asked["kind"] == "injected":
            yield "core pins", {"mould": {"kind": "injected_with_core"}}
        if hollow:
            yield from self._without({each.kind for each in hollow})
        if self.mould.cavity.face is not None:
            yield "a flat parting face", {"mould": {"parting": {"form": "flat"}}}

    def _cored(self, answer: Answer) -> Iterator[Change]:
        """With fewer cavities or less draft, or without what no pin leaves."""
        if self.mould.asked["kind"] != "dipped":
            if int(self.mould.asked["cavities"]) > FREE_AT_BOTH_ENDS:
                yield f"{FREE_AT_BOTH_ENDS} cavities", {"mould": {"cavities": FREE_AT_BOTH_ENDS}}
            if self.mould.asked["core_draft"] > 0:
                yield "core pins without draft", {"mould": {"core_draft": 0.0}}
        kinds = {each.kind for each in self.subject.hollows} - {CUT}
        if kinds - {"inside"}:
            yield from self._without(kinds - {"inside"})
        yield from self._without(kinds)

    def _without(self, kinds: Collection[str]) -> Iterator[Change]:
        """Without hollows; two plain halves where nothing is left that a pin could leave."""
        for words, patch in without_hollows(self.subject.request, kinds):
            if patched(self.subject, patch) is not None:
                yield words, patch
            else:
                yield f"{words}, in two halves", both(patch, {"mould": {"kind": "injected"}})

    def _vented(self, answer: Answer) -> Iterator[Change]:
        """Where nothing lies over and under an extremity."""
        yield from self._coming_out()
        names = set((answer.where or {})["strands"])
        kinds = {each.kind for each in self.subject.strands if each.name in names}
        for tier in range(TIERS):
            yield from reshaped(self.subject.request, kinds, tier)


def _whole_and_cored(mould: Mould) -> Answer | None:
    """Whether each part is one piece; pins that cannot stand are no better than an island."""
    pins = core(mould)
    return pins if pins is not None and pins.verdict == "fail" else island(mould)
