"""A batch as callers see it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from worker.records.names import ENDED, PUBLIC_STATUS

INVALID = "invalid"
COUNTED = ("accepted", "running", "successful", "failed", "dismissed", INVALID)


@dataclass(frozen=True, slots=True)
class ItemView:
    """One item now. Without an `id` it was not taken, and `problem` says why; of a failed one, why it failed."""

    index: int
    label: str | None
    id: str | None
    status: str
    problem: dict[str, Any] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchView:
    """One batch now. `finished` is there once every one of its baits has ended; what is `sealed` stays as it is."""

    id: str
    created: str
    finished: str | None
    dismissed: bool
    items: tuple[ItemView, ...]
    sealed: bool = field(default=False, compare=False)

    @property
    def counts(self) -> dict[str, int]:
        """How many items have each status; equal ones are counted each."""
        counted = Counter(item.status for item in self.items)
        return {status: counted[status] for status in COUNTED}

    @property
    def status(self) -> str:
        """`running` from the first bait that is begun; ended `successful` where any bait is, or else `failed`."""
        statuses = {item.status for item in self.items} - {INVALID}
        if self.dismissed:
            return "dismissed"
        if statuses <= ENDED:
            return "successful" if "successful" in statuses else "failed"
        return "accepted" if statuses == {"accepted"} else "running"

    @property
    def first_letters(self) -> str:
        """The items' statuses, a letter each, as short as a first answer can be remembered."""
        return "".join(item.status[0] for item in self.items)

    def as_first(self, letters: str) -> BatchView:
        """As it was when it was taken, from what `first_letters` gave then."""
        word = {status[0]: status for status in COUNTED}
        items = tuple(_with_status(item, word[letter]) for item, letter in zip(self.items, letters, strict=True))
        ended = {item.status for item in items} <= ENDED | {INVALID}
        return replace(self, items=items, dismissed=False, finished=self.created if ended else None)


def _with_status(item: ItemView, status: str) -> ItemView:
    kept = item.problem if status in ("failed", INVALID) else None
    return replace(item, status=status, problem=kept)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a bait stands in a batch."""

    status: str
    problem: dict[str, Any] | None = None

    @classmethod
    def read(cls, told: str) -> Outcome:
        """From the store: an outcome, or the state of a bait's record."""
        state, _, problem = told.partition(" ")
        # Neither outcome nor record: the store has lost it, and a new request builds it.
        return cls(PUBLIC_STATUS.get(state, "dismissed"), json.loads(problem) if problem else None)


def items_of(kept: Iterable[Mapping[str, Any]], outcomes: Mapping[str, Outcome]) -> tuple[ItemView, ...]:
    """The items of a document, each with how its bait stands."""
    return tuple(_item(one, outcomes) for one in kept)


def _item(kept: Mapping[str, Any], outcomes: Mapping[str, Outcome]) -> ItemView:
    bait_id = kept.get("id")
    stands = Outcome(INVALID, kept.get("problem")) if bait_id is None else outcomes[bait_id]
    return ItemView(kept["index"], kept.get("label"), bait_id, stands.status, stands.problem)


def baits_of(kept: Sequence[Mapping[str, Any]]) -> list[str]:
    """The ids of a document's baits, each once, in the order of their first items."""
    return list(dict.fromkeys(one["id"] for one in kept if "id" in one))
