"""The bait of a request in the open form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from worker.errors import Fault
from worker.open_form.dials import dials
from worker.open_form.faults import faults_of
from worker.open_form.hollows import hollows_of
from worker.open_form.ring_dials import ring_dials
from worker.open_form.tree import Made, made_of
from worker.strands.ligament import Ligament
from worker.strands.strand import Strand
from worker.strands.taken import Taken
from worker.values.dial import Dial

Told = Mapping[str, Any]


@dataclass(frozen=True)
class OpenBait:
    """Strands and hollows in normal form."""

    told: Sequence[Told]
    taken_out: Sequence[Told]

    @property
    def key(self) -> str:
        """See styles.bait.Bait."""
        return f"{self.told!r}{self.taken_out!r}"

    @cached_property
    def made(self) -> Made:
        """Every strand with the told one that it comes from."""
        return made_of(self.told)

    def strands(self) -> tuple[Strand, ...]:
        """See styles.bait.Bait: those without a parent first."""
        return tuple(copy.strand for copy in self.made.copies)

    def hollows(self) -> tuple[Strand, ...]:
        """See styles.bait.Bait."""
        return tuple(hollows_of(self.taken_out, self.told, self.made.copies))

    def infeasible(self) -> Iterable[Fault]:
        """See styles.bait.Bait."""
        return faults_of(self.told, self.taken_out, lambda: self.made)

    def ligaments(self) -> tuple[Ligament, ...]:
        """See styles.bait.Bait: none are known of hollows in the open form."""
        return ()

    def taken(self) -> Taken:
        """See styles.bait.Bait: nothing is known beforehand."""
        return Taken()

    def dials(self, check: str) -> Iterator[Dial]:
        """See styles.bait.Bait. Of a ring it is one strand that is meant, by its name, and not all of its kind."""
        question, _, name = check.partition(" of ")
        if question != "through_hole":
            return dials(self.told, self.taken_out, check)
        meant = [copy.told for copy in self.made.copies if copy.strand.name == name]
        return (each for number in meant[:1] for each in ring_dials(self.told, self.taken_out, number))
