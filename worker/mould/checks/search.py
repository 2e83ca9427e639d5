"""Changes of a mould and of its bait that are tried where a check of the mould fails and nothing nearer mends it.

Each try makes the bait anew and lays it in its mould (one to four seconds of a bait with limbs), so they are few; what
is told has been tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from worker.checks.answer import Answer, Remedy
from worker.checks.subject import Subject
from worker.errors import GeometryFailed
from worker.mould import mould_of
from worker.mould.cavity import Cavity
from worker.mould.checks.blame import blamed
from worker.mould.checks.patches import Patch, together
from worker.mould.checks.release import worst_share
from worker.mould.checks.shapes import TIERS, reshaped
from worker.mould.core import cored
from worker.mould.injected import material_of, with_core
from worker.mould.mould import Mould
from worker.solid.join import joined
from worker.values.mould import STEEPEST
from worker.values.mould_materials import MOULD_MATERIALS

MOST_TRIES, MOST_TAKEN_BACK, MOST_BUILT = 7, 2, 3
"""Baits that are laid until one comes out, how many of them at most look whether a change is needed, and moulds that
are built whole for the other checks that fail: a build has half a minute, and most of it has to be left."""
GIVING = "silicone"
"""The material that comes off the greatest undercut."""


Change = tuple[str, Patch]
"""In words and as a merge patch."""


@dataclass(frozen=True)
class Laid:
    """A request after some changes with its bait as it lies in the mould."""

    changes: tuple[Change, ...]
    subject: Subject
    cavity: Cavity
    uncored: tuple[str, ...]

    @property
    def patch(self) -> Patch:
        """All changes in one."""
        return together(self.changes)

    @property
    def words(self) -> str:
        """All changes."""
        return ", ".join(words for words, _ in self.changes)

    @property
    def held(self) -> float:
        """mm2 of the plan where plastic holds a half."""
        return sum(half.trapped for half in self.cavity.undercuts)

    @property
    def share(self) -> float:
        """The greatest depth behind plastic over the width there."""
        return worst_share(self.cavity.undercuts)

    @property
    def limit(self) -> float:
        """Up to which share the mould comes off."""
        return material_of(self.subject.request.normal["mould"])[0].undercut.typical

    @property
    def comes_out(self) -> bool:
        """Of both halves."""
        return not self.held and self.share <= self.limit

    def remedy(self, gives: float) -> Remedy:
        """As it is told."""
        return Remedy(self.words, self.patch, gives)


def patched(subject: Subject, patch: Mapping[str, Any]) -> Subject | None:
    """The subject of the patched request; None where that bait or that mould of it cannot be."""
    other = subject.with_patch(patch)
    return None if other is None or any(True for _ in other.request.infeasible()) else other


class Search:
    """Of one mould, whose tries are counted together."""

    def __init__(self, subject: Subject, mould: Mould) -> None:
        self.subject, self.mould = subject, mould
        self.tried, self.left = 0, MOST_TRIES
        self.unbuilt = MOST_BUILT

    def coming_out(self) -> Laid | None:
        """Changes after which neither half is held nor lies too far behind plastic, or None where none were found.

        First the face alone, then what lies where a half is held: straightened, left out, at last of every kind. What
        is not needed of them is taken back as far as tries are left for that.
        """
        laid = self._laid(self._of_mould())
        if laid is None:
            return None
        found, kinds = self._enough(laid), tuple[str, ...]()
        for tier in range(TIERS + 1):
            if found is not None:
                break
            kinds = tuple(dict.fromkeys((*kinds, *blamed(laid.cavity, laid.limit))))
            everything = tuple({each.kind for each in (*laid.cavity.strands, *laid.cavity.hollows)})
            changed = self._reshaped(laid, kinds if tier < TIERS else everything, min(tier, TIERS - 1))
            if changed is not None:
                laid, found = changed, self._enough(changed)
        return None if found is None else self._no_more_than_needed(found)

    def first(
        self,
        check: Callable[[Mould], Answer | None],
        changes: Iterable[Change],
    ) -> Remedy | None:
        """The first of the changes with which a mould passes its check, or is not asked; None where none does."""
        for words, patch in changes:
            if self.unbuilt == 0:
                return None
            other = patched(self.subject, patch)
            if other is None:
                continue
            self.tried, self.unbuilt = self.tried + 1, self.unbuilt - 1
            mould = _mould_of(other)
            if mould is None:
                continue
            answer = check(mould)
            if answer is None or answer.verdict == "pass":
                return Remedy(words, patch, 0.0 if answer is None else answer.value)
        return None

    def _of_mould(self) -> tuple[Change, ...]:
        """Two halves on the best plane, in a face as steep as may be."""
        steepest = STEEPEST.maximum
        face: Patch = {"form": "auto", "steepest_deg": steepest}
        changes: list[Change] = []
        if self.mould.asked["kind"] == "open_pour":
            changes.append(("two halves", {"mould": {"kind": "injected"}}))
        if "height" in self.mould.asked["parting"]:
            plane: Patch = {"turn_deg": None, "height": None}
            changes.append(("the plane of least undercut", {"mould": {"parting": plane}}))
        words = f"a parting face up to {steepest:g} degrees steep, which has to be fitted closely"
        return (*changes, (words, {"mould": {"parting": face}}))

    def _laid(self, changes: tuple[Change, ...]) -> Laid | None:
        other = patched(self.subject, together(changes)) if self.left else None
        if other is None:
            return None
        self.tried, self.left = self.tried + 1, self.left - 1
        asked = other.request.normal["mould"]
        try:
            same = other.request.bait.key == self.subject.request.bait.key
            solid = self.mould.cavity.net if same else joined(other.strands, other.request.tolerance, other.hollows)
            cavity, _, uncored = with_core(other, solid, asked, material_of(asked)[0])
        except GeometryFailed:
            return None
        return Laid(changes, other, cavity, uncored)

    def _enough(self, laid: Laid) -> Laid | None:
        """What comes out: as it is, with core pins, or in a mould that gives."""
        if laid.comes_out:
            return laid
        if laid.held:
            hollow, _ = cored(laid.subject.hollows)
            if not hollow or laid.subject.request.normal["mould"]["kind"] != "injected":
                return None
            pins = self._laid((*laid.changes, ("core pins", {"mould": {"kind": "injected_with_core"}})))
            return None if pins is None or pins.uncored or pins.held else self._enough(pins)
        if laid.share > MOULD_MATERIALS[GIVING].undercut.typical:
            return None
        giving = self._laid((*laid.changes, (GIVING, {"mould": {"material": GIVING}})))
        return giving if giving is not None and giving.comes_out else None

    def _reshaped(self, laid: Laid, kinds: tuple[str, ...], tier: int) -> Laid | None:
        """With every change of these kinds that can be, all of them at once."""
        start = changes = self._of_mould()
        for change in reshaped(self.subject.request, kinds, tier):
            if patched(self.subject, together((*changes, change))) is not None:
                changes = (*changes, change)
        return None if changes in (start, laid.changes) else self._laid(changes)

    def _no_more_than_needed(self, found: Laid) -> Laid:
        """Without the changes that it comes out without, of those that there are tries left for."""
        last = max(0, self.left - MOST_TAKEN_BACK)
        for change in found.changes:
            if self.left == last or len(found.changes) == 1:
                break
            without = self._laid(tuple(each for each in found.changes if each is not change))
            if without is not None and without.comes_out and not set(without.uncored) - set(found.uncored):
                found = without
        return found


def _mould_of(subject: Subject) -> Mould | None:
    try:
        solid = joined(subject.strands, subject.request.tolerance, subject.hollows)
        return mould_of(subject, solid)
    except GeometryFailed:
        return None
