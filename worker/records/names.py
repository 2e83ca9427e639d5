"""Every name that we have in the store, and the words for records' states.

Scripts write the same names in Lua, behind the same prefix (`script_parts`); a test holds them to those here.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import Literal

PREFIX = "pourwright:"
WAKE = PREFIX + "wake"  # a list that the steward sleeps on
DELAYED = PREFIX + "delayed"  # the set of baits that wait for another attempt
CLOSING = PREFIX + "closing"  # the set of batches that have ended and are not yet written down
STEWARDS = PREFIX + "stewards"  # the set of those that were at work lately
WORKERS = PREFIX + "workers"  # the same of workers
COURIER = PREFIX + "courier"  # there while a courier is at work
SWEEPING = PREFIX + "sweeping"  # there while a caretaker sweeps: whose turn it is
OUTBOX = PREFIX + "outbox"  # a stream of endings that are to be told
HOOKS_DUE = PREFIX + "hooks-due"  # a sorted set: when the first message of each webhook is due
HOOK_LEASES = PREFIX + "hook-leases"  # a hash: until when somebody sends to a webhook
RATES = PREFIX + "rate"  # what the names of a rate limit's counts begin with
TALLY = PREFIX + "tally"  # a hash of counts that only go up: jobs by ending, deliveries by outcome, steps of builds

Kind = Literal["bait", "fit"]
KINDS: tuple[Kind, ...] = ("bait", "fit")  # one record, one way through, whatever it is of
LANES = ("single", "batch", "fit")
FIT_LANE = LANES[2]  # whatever stands in it is a fit, and no fit stands in another
QUEUE = "pourwright"  # the one RQ queue
BUILD_JOB = "worker.jobs.run.build_bait"  # the one function that a job may name

# What a record's state is called inside, and outside (the words of OGC API - Processes, Part 1).
PUBLIC_STATUS = {
    "waiting": "accepted",
    "handed": "accepted",
    "running": "running",
    "successful": "successful",
    "failed": "failed",
    "dismissed": "dismissed",
}
ENDED = frozenset({"successful", "failed", "dismissed"})

# What callers and what they keep may be called: it can stand in a key, a path and a job's id.
NAME = r"[a-z0-9][a-z0-9_-]{0,63}"
_CALLER = re.compile(NAME)
_BAIT = re.compile(r"[0-9a-f]{64}")
_JOB = re.compile(rf"({_CALLER.pattern})-({_BAIT.pattern})-([1-9][0-9]{{0,8}})")


def is_caller(name: str) -> bool:
    """Whether a caller may be called so: the name stands in keys, in paths and in jobs' ids."""
    return _CALLER.fullmatch(name) is not None


@dataclass(frozen=True, slots=True)
class BaitName:
    """A bait of a caller. Raises ValueError for names that could not stand in a key, a path or a job's id."""

    caller: str
    id: str

    def __post_init__(self) -> None:
        if not is_caller(self.caller):
            raise ValueError(f"{self.caller!r} is not a caller: up to 64 of a-z, 0-9, _ and -")
        if not _BAIT.fullmatch(self.id):
            raise ValueError(f"{self.id!r} is not a bait's id: 64 of 0-9 and a-f")

    @classmethod
    def parse(cls, member: str) -> BaitName:
        """From the form in which the store's sets carry it."""
        caller, _, bait_id = member.partition(":")
        return cls(caller, bait_id)

    @property
    def member(self) -> str:
        """The form in which the store's sets carry it."""
        return f"{self.caller}:{self.id}"

    @property
    def record(self) -> str:
        """The key of its record, a hash."""
        return f"{PREFIX}bait:{self.member}"

    @property
    def ending(self) -> str:
        """The key of the stream on which its end is announced."""
        return f"{PREFIX}ending:{self.member}"

    @property
    def wants(self) -> str:
        """The key of the set of who wants it, as long as it has not ended."""
        return f"{PREFIX}wants:{self.member}"

    def attempt(self, number: int) -> AttemptName:
        """One attempt at it."""
        return AttemptName(self, number)


@dataclass(frozen=True, slots=True)
class AttemptName:
    """One attempt at a bait: what every change of state names, so that a belated one changes nothing."""

    bait: BaitName
    number: int

    @classmethod
    def parse(cls, job_id: str) -> AttemptName:
        """From a job's id. Raises ValueError for any other id."""
        found = _JOB.fullmatch(job_id)
        if found is None:
            raise ValueError(f"{job_id!r} is not the id of one of our jobs")
        return cls(BaitName(found[1], found[2]), int(found[3]))

    @property
    def job_id(self) -> str:
        """The id of its job in the queue; callers' equal baits are different jobs."""
        return f"{self.bait.caller}-{self.bait.id}-{self.number}"


def kind_of(lane: str) -> Kind:
    """What a record of this lane is of."""
    return "fit" if lane == FIT_LANE else "bait"


def steward(name: str) -> str:
    """The key that is there while a steward is at work."""
    return f"{PREFIX}steward:{name}"


def open_batch(caller: str, batch_id: str) -> str:
    """The key of the hash of a batch that has not been written down as ended."""
    return f"{PREFIX}batch:{caller}:{batch_id}"


def open_batches(caller: str) -> str:
    """The key of the set of a caller's batches that have such a hash."""
    return f"{PREFIX}batches:{caller}"


def worker(name: str) -> str:
    """The key that is there while a worker is."""
    return f"{PREFIX}worker:{name}"


def line(lane: str, caller: str) -> str:
    """The key of the list of a caller's waiting baits in a lane."""
    return f"{PREFIX}line:{lane}:{caller}"


def poured_in(caller: str, plastic: str) -> str:
    """The key of the sorted set of a caller's baits that were asked for in a plastic of this name, oldest first."""
    return f"{PREFIX}poured:{caller}:{plastic}"


def lane_callers(lane: str) -> str:
    """The key of the list of callers with baits waiting in a lane, next one first."""
    return f"{PREFIX}lane:{lane}"


def in_flight(lane: str) -> str:
    """The key of the set of a lane's baits that are handed over or running."""
    return f"{PREFIX}flight:{lane}"


def webhooks(caller: str) -> str:
    """The key of the hash of a caller's webhooks, by their names."""
    return f"{PREFIX}webhooks:{caller}"


def hook_standings(caller: str) -> str:
    """The key of the hash of how deliveries to a caller's webhooks went, by the webhooks' ids."""
    return f"{PREFIX}hook-standing:{caller}"


def messages(hook: str) -> str:
    """The key of the hash of a webhook's messages, by their ids; `hook` is its caller and its id."""
    return f"{PREFIX}messages:{hook}"


def deliveries(hook: str) -> str:
    """The key of the sorted set of when each of these messages is due."""
    return f"{PREFIX}deliveries:{hook}"


def plastics(caller: str) -> str:
    """The key of the hash of a caller's own plastics, by their names."""
    return f"{PREFIX}plastics:{caller}"


def house_styles(caller: str) -> str:
    """The key of the hash of a caller's house styles, by their names."""
    return f"{PREFIX}styles:{caller}"


def idempotency(caller: str, route: str, key: str) -> str:
    """The key of the bait that an idempotency key was first used for."""
    return f"{PREFIX}idempotency:{caller}:{route}:{_digest(key)}"


def replay(caller: str, route: str, key: str) -> str:
    """The key of the first answer to an idempotency key."""
    return f"{PREFIX}replay:{caller}:{route}:{_digest(key)}"


def _digest(text: str) -> str:
    # An idempotency key is the caller's text: its digest is as good a name and has a bounded length.
    return hashlib.sha256(text.encode()).hexdigest()
