"""A bait as everything downstream sees it: where its strands come from, a style or a list of strands, stays behind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from worker.errors import Fault
from worker.strands.ligament import Ligament
from worker.strands.strand import Strand
from worker.strands.taken import Taken
from worker.styles.style import Params, Remedy, Style, rows_of
from worker.styles.told_within import within
from worker.values.dial import Dial, dial
from worker.values.parameter import Parameter, Value
from worker.values.rows import Row


class Bait(Protocol):
    """What a request says of the bait's shape."""

    @property
    def key(self) -> str:
        """Equal for equal shapes."""
        ...

    def strands(self) -> tuple[Strand, ...]:
        """The bait's strands (arithmetic alone)."""
        ...

    def hollows(self) -> tuple[Strand, ...]:
        """What is taken out, each a strand of its own."""
        ...

    def ligaments(self) -> tuple[Ligament, ...]:
        """What the hollows leave standing and the bait hangs by."""
        ...

    def taken(self) -> Taken:
        """What those hollows take away of which that is known."""
        ...

    def infeasible(self) -> Iterable[Fault]:
        """What is possible singly but not together."""
        ...

    def dials(self, check: str) -> Iterator[Dial]:
        """What may be turned to mend a check, the best first."""
        ...


@dataclass(frozen=True)
class StyledBait:
    """A style with its parameters in normal form."""

    style: Style
    params: Params

    @property
    def key(self) -> str:
        """See Bait. Parameters stand in the order of their declaration, so equal ones have equal texts."""
        return f"{self.style.name} {self.params!r}"

    def strands(self) -> tuple[Strand, ...]:
        """See Bait."""
        return self.style.strands(self.params)

    def hollows(self) -> tuple[Strand, ...]:
        """See Bait."""
        return self.style.hollows(self.params)

    def ligaments(self) -> tuple[Ligament, ...]:
        """See Bait."""
        return self.style.ligaments(self.params)

    def taken(self) -> Taken:
        """See Bait."""
        return self.style.taken(self.params)

    def infeasible(self) -> Iterable[Fault]:
        """See Bait."""
        return within(self.style.infeasible(self.params), self.style)

    def dials(self, check: str) -> Iterator[Dial]:
        """See Bait: the style's remedies, in their order."""
        for remedy in self.style.remedies.get(check, ()):
            yield from self._of_rows(remedy) if remedy.member else self._of_parameter(remedy)

    def _of_parameter(self, remedy: Remedy) -> Iterator[Dial]:
        parameter = self.style.parameter(remedy.parameter)

        along = {name: (float(self.params[name]), self.style.parameter(name)) for name in remedy.along}

        def patch(value: float) -> Mapping[str, Any]:
            others = {name: _brought(at, value, bounds, up=remedy.up) for name, (at, bounds) in along.items()}
            moved = {name: at for name, at in others.items() if at != along[name][0]}
            return {"params": {remedy.parameter: value, **moved}}

        yield dial(parameter, float(self.params[remedy.parameter]), remedy.up, patch, remedy.text)

    def _of_rows(self, remedy: Remedy) -> Iterator[Dial]:
        """One member of every row that the remedy means: none of them is left on the wrong side of the value."""
        if remedy.parameter in self.style.fixed:
            return
        present = rows_of(self.params, remedy.parameter)
        member = self.style.rows(remedy.parameter).member(remedy.member)
        meant = [all(row[name] == value for name, value in remedy.only) for row in present]
        values = [float(row[remedy.member]) for row, mean in zip(present, meant, strict=True) if mean]
        if not values:
            return
        bounds = {name: self.style.rows(remedy.parameter).member(name) for name in (remedy.member, *remedy.along)}

        def turned(row: Row, value: float) -> Row:
            brought = {name: _brought(row[name], value, each, up=remedy.up) for name, each in bounds.items()}
            return {**row, **brought}

        def patch(value: float) -> Mapping[str, Any]:
            # A merge patch replaces a list whole (RFC 7396), so every row is in it.
            changed = [turned(row, value) if mean else row for row, mean in zip(present, meant, strict=True)]
            return {"params": {remedy.parameter: changed}}

        worse = min if remedy.up else max

        yield dial(member, worse(values), remedy.up, patch, remedy.text)


def _brought(present: Value, value: float, bounds: Parameter, *, up: bool) -> Value:
    """At least (or at most) a value, as far as the parameter goes."""
    at = float(present)
    reached = min(max(at, value), bounds.maximum) if up else max(min(at, value), bounds.minimum)
    return present if reached == at else reached
