"""From pieces to a plastic's figures, each with its range, the pieces' own values and where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import mean
from types import MappingProxyType

from worker.errors import Fault, InvalidRequest
from worker.measures.trial.pieces import DONE, FIGURE_OF, Piece, figure_of
from worker.measures.trial.record import Call, Record, added, pieces_of
from worker.measures.trial.spread import Scatter, scatter_of
from worker.values.own_plastics import FIGURES
from worker.values.parameter import six_digits
from worker.values.plastics import Range

NOTHING: Record = MappingProxyType({})
"""The record of a plastic of which nothing was measured before."""


@dataclass(frozen=True)
class Measured:
    """One figure: its range as a plastic has it, and how it came about.

    `pieces` tell what each piece came to, the newest call's first and in its order; `calls` are those pieces.
    """

    range: Range
    scatter: Scatter
    pieces: tuple[float, ...]
    calls: tuple[Call, ...]

    def describe(self) -> dict[str, object]:
        """For an answer."""
        told = [six_digits(value) for value in self.pieces]
        spread = {"count": self.scatter.count, "typical_is": "mean", "spread": self.scatter.words}
        return {**self.range.describe(), **spread, "pieces": told, "calls": len(self.calls)}


def measured(pieces: Sequence[Piece], density: Range, source: str, record: Record = NOTHING) -> dict[str, Measured]:
    """The figures that pieces tell with those of the `record`, by name, in the order of `own_plastics.FIGURES`.

    A rod's stiffness goes with its weight: it is reckoned by the mean of the pieces that were weighed, else by
    `density`, g/cm3, whose range then widens its own; where pieces are weighed, rods of before are reckoned anew.
    Raises InvalidRequest for pieces whose figure no plastic of baits has: a slip of a digit or of a unit.
    """
    calls = {
        figure: added(record.get(figure, ()), Call(source, told))
        for figure in FIGURES
        if (told := tuple(piece for piece in pieces if FIGURE_OF[piece["kind"]] == figure))
    }
    weighed = pieces_of(calls.get("density", record.get("density", ())))
    heavy = mean(figure_of(piece, density.typical) for piece in weighed) if weighed else density.typical
    faults = [fault for place, piece in enumerate(pieces) for fault in _outside(place, piece, figure_of(piece, heavy))]
    if faults:
        counted = "1 piece tells" if len(faults) == 1 else f"{len(faults)} pieces tell"
        raise InvalidRequest(f"{counted} of no plastic that baits are poured of; `errors` names each one.", faults)
    if "density" in calls and record.get("modulus") and "modulus" not in calls:
        calls["modulus"] = tuple(record["modulus"])
    found = {}
    for name in (figure for figure in FIGURES if figure in calls):
        told = pieces_of(calls[name])
        each = tuple(figure_of(piece, heavy) for piece in told)
        scatter = scatter_of(name, each)
        if name == "modulus" and not weighed:
            scatter = _unweighed(scatter, density)
        words = _in_words(told, heavy)
        if len(calls[name]) > 1:
            words = f"{words}, in {len(calls[name])} calls"
        found[name] = _measured(name, each, scatter, f"{words}; {calls[name][0].source}", calls[name])
    return found


def _outside(place: int, piece: Piece, value: float) -> list[Fault]:
    figure = FIGURES[FIGURE_OF[piece["kind"]]]
    if figure.minimum <= value <= figure.maximum:
        return []
    detail = f"This piece comes to a {figure.name} of {value:.3g} {figure.unit}; taken is {figure.range_text()}."
    return [Fault(f"/measurements/{place}", "out-of-range", detail, figure.allowed())]


def _unweighed(scatter: Scatter, density: Range) -> Scatter:
    """Stiffness is in proportion to the weight, and so is what is not known of it."""
    low, high = (end / density.typical for end in (density.low, density.high))
    words = f"{scatter.words}, and what is not known of the density"
    return replace(scatter, low=scatter.low * low, high=scatter.high * high, words=words)


def _measured(name: str, values: tuple[float, ...], scatter: Scatter, source: str, calls: tuple[Call, ...]) -> Measured:
    figure = FIGURES[name]
    low, typical, high = (
        six_digits(min(max(end, figure.minimum), figure.maximum)) for end in (scatter.low, scatter.mean, scatter.high)
    )
    return Measured(Range(low, typical, high, figure.unit, source), scatter, values, calls)


def _in_words(pieces: Sequence[Piece], density: float) -> str:
    """As in: 4 pieces: 3 pushed over an edge, 1 held level by one end, at 1.02 g/cm3."""
    kinds = [str(piece["kind"]) for piece in pieces]
    counts = [(kind, kinds.count(kind)) for kind in DONE if kind in kinds]
    at = f", at {density:.4g} g/cm3" if any(kind in ("overhang", "droop") for kind in kinds) else ""
    if len(counts) == 1:
        kind, count = counts[0]
        return f"{count} {'piece' if count == 1 else 'pieces'} {DONE[kind]}{at}"
    return f"{len(pieces)} pieces: {', '.join(f'{count} {DONE[kind]}' for kind, count in counts)}{at}"
