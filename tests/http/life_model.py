"""What the contract says of a bait's life, written down without a store: states, who wants it, batches that hold it."""

from __future__ import annotations

from dataclasses import dataclass, field

UNFINISHED = ("accepted", "running")
MOST_TRIES = 3


@dataclass
class Batch:
    """What has become of its baits; None: not ended. In the store until it is sealed."""

    caller: str
    outcomes: dict[str, str | None]
    dismissed: bool = False
    sealed: bool = False

    @property
    def ended(self) -> bool:
        return all(self.outcomes.values())


@dataclass
class Bait:
    """One bait of one caller. `status` is what a GET tells; None: 404.

    `untold`: its files are there, and the worker that put them there died before it could say so.
    """

    caller: str
    id: str
    status: str | None = None
    by_bait: bool = False
    attempt: int = 0
    tries: int = 0
    untold: bool = False
    recorded: bool = False
    wants: set[str] = field(default_factory=set)

    @property
    def stays(self) -> bool:
        """Whether a POST leaves it as it is."""
        return self.status in (*UNFINISHED, "successful") or (self.status == "failed" and self.by_bait)

    def taken(self) -> None:
        self.attempt = self.attempt + 1 if self.recorded else 1
        self.tries, self.status, self.recorded, self.by_bait, self.untold = 1, "accepted", True, False, False

    def again(self) -> None:
        self.attempt, self.tries = self.attempt + 1, self.tries + 1
        self.status = self.status if self.untold else "accepted"

    def given_back(self) -> None:
        self.attempt += 1
        self.status = self.status if self.untold else "accepted"

    def ended(self, status: str, batches: dict[str, Batch], *, by_bait: bool = False) -> None:
        """Told to every batch that wants it; what has its files is a finished bait whatever else is said."""
        self.status = "successful" if self.untold else status
        self.by_bait, self.untold = by_bait, False
        self.tell(status, batches)

    def tell(self, status: str, batches: dict[str, Batch]) -> None:
        for one in self.wants & set(batches):
            tell(batches[one], self.id, status)
        self.wants = set()


def tell(batch: Batch, bait_id: str, status: str) -> None:
    if not batch.sealed and batch.outcomes[bait_id] is None:
        batch.outcomes[bait_id] = status
