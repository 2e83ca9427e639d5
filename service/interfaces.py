"""What HTTP needs from behind it, and nothing about how that is done. Tests put small stand-ins here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Protocol

from service.keys.key import Key
from service.rates import Standing
from worker.files.stored_archive import Pieces
from worker.records.baits import Submittable
from worker.records.batch_view import BatchView
from worker.records.batches import Item
from worker.records.fits import Work
from worker.records.view import BaitView, Submission
from worker.records.webhooks import Standing as WebhookStanding
from worker.records.webhooks import Webhook
from worker.request import Request


class Records(Protocol):
    """The baits of all callers, or their fits. Every call may raise StoreUnavailable."""

    def view(self, caller: str, bait_id: str) -> BaitView | None:
        """The bait as it is now."""

    def wait(self, caller: str, bait_id: str, seconds: float) -> BaitView | None:
        """The bait at its end, or as it is when the time is up."""

    def dismiss(self, caller: str, bait_id: str) -> BaitView | None:
        """End a bait that has not ended; what comes back has ended, one way or the other."""

    def delete(self, caller: str, bait_id: str) -> bool:
        """Remove an ended bait and its files for this caller; False where there is none."""

    def file(self, caller: str, bait_id: str, name: str) -> Path | Pieces:
        """A finished bait's file. Raises UnknownResource where it has been cleared away."""


class Baits(Records, Protocol):
    """What can be done with baits besides."""

    def submit(self, caller: str, request: Request, *, trace: str = "") -> Submission:
        """Take a request, durably, and build it under this `traceparent`. Raises Busy where the queue is full."""

    def of_plastic(self, caller: str, plastic: str, most: int) -> tuple[list[BaitView], int]:
        """The newest of those that were asked for in a plastic of this name, and how many there are."""

    def note_use(self, caller: str, bait_ids: Iterable[str]) -> bool:
        """Note that finished baits were asked for just now, so that they are kept; False where one is gone."""


class Fits(Records, Protocol):
    """What can be done with fits besides."""

    def submit(self, caller: str, request: Submittable, *, trace: str = "") -> Submission:
        """Take a request, durably, for a worker to search. Raises Busy where the queue is full."""

    def do(self, caller: str, request: Submittable, work: Work, *, trace: str = "") -> Submission:
        """Take a request, durably, and search it before this returns. Raises as `submit` does."""


class IdempotencyKeys(Protocol):
    """Which bait an idempotency key was first used for."""

    def bait_of(self, caller: str, route: str, key: str, bait_id: str) -> str:
        """The id that holds this key; `bait_id` itself where the key is new."""


class Replays(Protocol):
    """First answers by idempotency key. Every call may raise StoreUnavailable."""

    def begin(self, caller: str, route: str, key: str, fingerprint: str) -> str | None:
        """The first answer to this key; None where the key is new, which is then waited for by others.

        Raises IdempotencyKeyReused where it came with another request, and Unanswered where nobody has answered yet.
        """

    def keep(self, caller: str, route: str, key: str, fingerprint: str, answer: str) -> None:
        """Keep the first answer for a day."""

    def abandon(self, caller: str, route: str, key: str) -> None:
        """There is no answer to be kept; the key is free again."""


class Batches(Protocol):
    """The batches of all callers. Every call may raise StoreUnavailable."""

    def require_room(self, caller: str) -> None:
        """Raise Busy where no bait could be taken at present."""

    def submit(self, caller: str, items: Sequence[Item], trace: str = "") -> BatchView:
        """Take all that can be built, durably, or nothing, and build it under this `traceparent`. Raises Busy."""

    def view(self, caller: str, batch_id: str, *, removed: bool = False) -> BatchView | None:
        """The batch now; with `removed`, also one that was removed lately."""

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """Something that changes whenever a sealed batch does, cheaply had; None where there is none."""

    def dismiss(self, caller: str, batch_id: str) -> BatchView | None:
        """End those of its unfinished baits that nobody else wants."""

    def remove(self, caller: str, batch_id: str) -> None:
        """Forget a batch that has ended."""


class Readiness(Protocol):
    """Whether work that is taken now will be done."""

    def missing(self) -> list[str]:
        """A sentence for each thing that is not there; empty: ready."""

    def workers(self) -> int:
        """How many workers were alive at the last look."""


class Keys(Protocol):
    """Who holds a key. Every call may raise KeysUnreadable."""

    def used(self) -> bool:
        """Whether calls need a key; without any there is one caller, `local`."""

    def holder(self, token: str) -> Key | None:
        """The active key that this token is of."""

    def named(self, key_id: str) -> Key | None:
        """The active key of this id."""


class Definitions(Protocol):
    """Plastics or house styles of callers' own, by name, in normal form. Every call may raise StoreUnavailable."""

    def get(self, caller: str, name: str) -> dict[str, Any] | None:
        """One of them."""

    def all(self, caller: str) -> dict[str, dict[str, Any]]:
        """All of a caller's, by name."""

    def swap(self, caller: str, name: str, present: dict[str, Any] | None, wanted: dict[str, Any] | None) -> bool:
        """Keep `wanted`, durably (None: forget it), if what is there still is `present`; whether it was."""


class Webhooks(Protocol):
    """Webhooks of callers' own, by name. Every call may raise StoreUnavailable."""

    def get(self, caller: str, name: str) -> tuple[Webhook, WebhookStanding] | None:
        """One of them, and how it stands."""

    def all(self, caller: str) -> list[tuple[Webhook, WebhookStanding]]:
        """All of a caller's, by name."""

    def swap(self, caller: str, name: str, present: Webhook | None, wanted: Webhook | None) -> bool:
        """Keep `wanted`, durably (None: forget it), if `present` still stands there; whether it did."""


class Rates(Protocol):
    """How much callers ask for."""

    def count(self, policy: str, caller: str) -> Standing | None:
        """Count one call under this policy; None where it is not limited, or cannot be counted at present."""
