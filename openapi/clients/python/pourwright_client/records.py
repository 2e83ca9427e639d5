"""What the service answers, as values with types. Members that a later service adds stand in `raw`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol

from pourwright_client.problem import Problem

Json = Mapping[str, Any]
Status = Literal["accepted", "running", "successful", "failed", "dismissed"]
UNDER_WAY = ("accepted", "running")


class Record(Protocol):
    """What a bait, a fit and a batch have in common."""

    @property
    def id(self) -> str: ...
    @property
    def status(self) -> Status: ...
    @property
    def problem(self) -> Problem | None: ...
    @property
    def links(self) -> Mapping[str, str]: ...


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change that makes a check pass. `patch` is a merge patch (RFC 7396) on the request."""

    text: str
    patch: Json
    gives: float | None


@dataclass(frozen=True, slots=True)
class Check:
    """One question put to a bait, with its answer. `value` and `limit` are in `unit`."""

    check: str
    verdict: Literal["pass", "caution", "fail"]
    value: float | None
    limit: float | None
    unit: str | None
    where: Json | None
    text: str
    remedies: tuple[Remedy, ...]
    silenced: bool

    @property
    def fails(self) -> bool:
        """Whether it fails and the request wants to be told."""
        return self.verdict == "fail" and not self.silenced


@dataclass(frozen=True, slots=True)
class File:
    """A file of a bait or a fit. `sha256` is in hexadecimal, `bytes` its length; `output` None: it always comes."""

    name: str
    media_type: str
    bytes: int
    sha256: str
    href: str
    output: str | None = None


@dataclass(frozen=True, slots=True)
class Bait:
    """A bait, built, under way or only estimated. `files` is empty until it has been built; times are RFC 3339 text.

    `request` is the normal form: defaults written, lengths in millimetres. `metrics` is as the OpenAPI document has it.
    `limb_places`, of an estimate alone: `joint` and `along_mm` of each joint off the trunk.
    """

    id: str
    status: Status
    request: Json
    metrics: Json
    checks: tuple[Check, ...]
    files: tuple[File, ...]
    cautions: tuple[str, ...]
    created: str | None
    finished: str | None
    timings: Mapping[str, float]
    links: Mapping[str, str]
    label: str | None = None
    problem: Problem | None = None
    limb_places: tuple[Json, ...] = ()
    raw: Json = field(default_factory=dict, repr=False, compare=False)

    @property
    def failed_checks(self) -> tuple[Check, ...]:
        """Those that fail and are not silenced."""
        return tuple(check for check in self.checks if check.fails)

    def file(self, name: str) -> File:
        """The file of that name. Raises KeyError."""
        return _named(self.files, name)


@dataclass(frozen=True, slots=True)
class Fit:
    """A search. `answer` is null until `status` is `successful`; its `best` is a request that can be ordered."""

    id: str
    status: Status
    request: Json
    answer: Json | None
    files: tuple[File, ...]
    created: str | None
    finished: str | None
    timings: Mapping[str, float]
    links: Mapping[str, str]
    label: str | None = None
    problem: Problem | None = None
    raw: Json = field(default_factory=dict, repr=False, compare=False)

    @property
    def best(self) -> Json | None:
        """The request of the best bait, for `build`; None where there is none, or none yet."""
        found = (self.answer or {}).get("best")
        return found["request"] if found else None

    def file(self, name: str) -> File:
        """The file of that name. Raises KeyError."""
        return _named(self.files, name)


@dataclass(frozen=True, slots=True)
class BatchItem:
    """One item of a batch, `index` from 0 as it was sent: with its bait's `id`, or with its problem."""

    index: int
    status: Literal["accepted", "running", "successful", "failed", "dismissed", "invalid"]
    label: str | None = None
    id: str | None = None
    href: str | None = None
    problem: Problem | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """Many baits at once. `counts` has how many items have each status."""

    id: str
    status: Status
    created: str
    finished: str | None
    counts: Mapping[str, int]
    items: tuple[BatchItem, ...]
    links: Mapping[str, str]
    raw: Json = field(default_factory=dict, repr=False, compare=False)

    @property
    def problem(self) -> Problem | None:
        """None: problems of a batch are its items'."""
        return None


@dataclass(frozen=True, slots=True)
class Link:
    """An address that opens one file without a key until it expires (RFC 3339)."""

    bait: str
    file: str
    expires: str
    may_end_sooner: str | None
    href: str


@dataclass(frozen=True, slots=True)
class Webhook:
    """A webhook as it is kept. `secret` comes only with the answer that makes it."""

    name: str
    address: str
    events: tuple[str, ...]
    created: str
    status: Literal["active", "disabled"]
    last_success: str | None
    last_failure: str | None
    last_reason: str | None
    disabled_since: str | None
    secret: str | None = field(default=None, repr=False)


def _named(files: Sequence[File], name: str) -> File:
    for file in files:
        if file.name == name:
            return file
    raise KeyError(f"no file {name}; there are {', '.join(file.name for file in files) or 'none yet'}")
