"""How long a creature's body is, so that the bait is exactly as long as asked wherever its limbs end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from worker.measures.strand.extent import furthest
from worker.strands.strand import Strand
from worker.styles.creature_body import CreatureBody
from worker.styles.creature_groups import Group, Seat, seats
from worker.styles.style import Params, rows_of
from worker.styles.worm_parameters import number

USUAL = 0.7
"""Length of a body over the creature's, to begin with."""
LEAST_BODY = 0.3
"""Least length of a body over the creature's (judgement)."""
PASSES = 2
"""A limb's root changes by hundredths of a mm with the body's length, and its reach by less at each pass."""


@dataclass(frozen=True)
class Layout:
    """The body, the seats of its limbs, and the one that decides how long the body is: None where the tail does.

    The limbs and the tail leave `room` mm for the body; under LEAST_BODY of the length there is no such creature.
    """

    body: CreatureBody
    seats: tuple[Seat, ...]
    longest: Seat | None
    room: float

    def limbs(self) -> tuple[Strand, ...]:
        """The left limbs, not yet grown to the body."""
        return tuple(seat.strand(seat.station(self.body.length)) for seat in self.seats)


def groups_of(params: Params) -> tuple[Group, ...]:
    """The rows of `groups`."""
    return tuple(Group(row, place + 1) for place, row in enumerate(rows_of(params, "groups")))


def laid_out(params: Params, most: float) -> Layout:
    """The layout of a creature whose body is at most `most` mm long, which its tail leaves.

    Seats move along with the body's length and limbs do not change as they move, so the length follows from how far
    each reaches behind its seat; the last seats are kept as they are, and the sum is exact.
    """
    length, groups = number(params, "length"), groups_of(params)
    least = LEAST_BODY * length
    body = CreatureBody(params, max(min(most, USUAL * length), least))
    found: tuple[Seat, ...] = ()
    longest: Seat | None = None
    fits = most
    for _ in range(PASSES):
        found = _numbered([seat for group in groups for seat in seats(body, group)])
        fits, longest = most, None
        for seat in found:
            # A limb that could not reach the end even if it pointed straight back decides nothing.
            if seat.station(fits) + seat.longest <= length:
                continue
            reach = furthest([seat.strand(0.0)], 0, 1.0)
            at_most = (length - reach - seat.on) / seat.share
            if at_most < fits:
                fits, longest = at_most, seat
        body = CreatureBody(params, max(fits, least))
    return Layout(body, found, longest, fits)


def _numbered(found: Sequence[Seat]) -> tuple[Seat, ...]:
    """Seats with their limbs' names: numbers run through all groups of a kind, one alone has none."""
    kinds = [seat.group.kind for seat in found]
    numbers = [kinds[: place + 1].count(kind) if kinds.count(kind) > 1 else 0 for place, kind in enumerate(kinds)]
    return tuple(seat.called(number) for seat, number in zip(found, numbers, strict=True))
