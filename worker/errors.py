"""The one exception tree. `service/problems.py` holds the one table from these to an HTTP status."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

PROBLEM_PREFIX = "urn:pourwright:problem:"


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a request: where (an RFC 6901 pointer), what, and what would be allowed."""

    pointer: str
    code: str
    detail: str
    allowed: object = None


class PourwrightError(Exception):
    """Root of everything that this product raises on purpose. `detail` is a sentence for the caller."""

    kind: ClassVar[str] = "internal"
    title: ClassVar[str] = "Something went wrong on our side"

    def __init__(self, detail: str) -> None:
        super().__init__(detail)
        self.detail = detail


class SettingsInvalid(PourwrightError):
    """Settings that cannot be used; `detail` names each one with its range, and `faults` tells them apart.

    A fault's pointer is `/` and the name of the variable.
    """

    kind = "settings-invalid"
    title = "The settings cannot be used"

    def __init__(self, detail: str, faults: Iterable[Fault] = ()) -> None:
        super().__init__(detail)
        self.faults = tuple(faults)


# What a caller can get wrong -------------------------------------------------------------------------------------


class RequestRejected(PourwrightError):
    """A request that cannot be taken; `faults` names every fault at once."""

    kind = "request-rejected"
    title = "The request cannot be taken"

    def __init__(self, detail: str, faults: Iterable[Fault] = ()) -> None:
        super().__init__(detail)
        self.faults = tuple(faults)


class MalformedRequest(RequestRejected):
    """A body that is not JSON as RFC 8259 and RFC 7493 mean it: cut short, duplicate members, NaN, nested too deep."""

    kind = "malformed-request"
    title = "The body is not JSON that we can read"


class InvalidRequest(RequestRejected):
    """Members that are unknown, of the wrong type or out of range."""

    kind = "invalid-request"
    title = "The request has values that are not allowed"


class InfeasibleRequest(RequestRejected):
    """Values that are each allowed but cannot stand together: a core thicker than its beads."""

    kind = "infeasible"
    title = "The request asks for a bait that cannot exist"


class RequestTooLarge(RequestRejected):
    """A body above the limit."""

    kind = "request-too-large"
    title = "The body is too large"


class UnknownResource(PourwrightError):
    """No such style, plastic, bait or file for this caller."""

    kind = "not-found"
    title = "There is nothing here"


class BatchUnreadable(PourwrightError):
    """What is kept of a batch is not as we wrote it: a fault of the disk, or somebody's hand."""

    kind = "internal"
    title = "What is kept of a batch cannot be read"


class AddressForbidden(PourwrightError):
    """An address that no webhook may lead to: not public, not https, or not in plain form."""

    kind = "address-forbidden"
    title = "The address is not one that we call"


# What can be away or full ----------------------------------------------------------------------------------------


class TryLater(PourwrightError):
    """A passing state; `retry_after_s` is what we tell the caller."""

    kind = "try-later"
    title = "Not now"

    def __init__(self, detail: str, retry_after_s: int = 2) -> None:
        super().__init__(detail)
        self.retry_after_s = retry_after_s


class StoreUnavailable(TryLater):
    """The store does not answer; nothing was taken."""

    kind = "store-unavailable"
    title = "The store does not answer"


class ArtifactsUnavailable(TryLater):
    """The bucket that has the finished baits does not answer, refuses us, or is too slow."""

    kind = "artifacts-unavailable"
    title = "The bucket of finished baits does not answer"


class Busy(TryLater):
    """Too much of this kind of work is waiting already."""

    kind = "busy"
    title = "Too much is waiting already"


# How a bait can end badly ----------------------------------------------------------------------------------------


class BuildFailed(PourwrightError):
    """A build that ended without a bait. The bait's status is then `failed` with this as its problem.

    `caused_by_bait` says whether another try of the same request would end the same way.
    """

    kind = "build-failed"
    title = "The bait could not be built"
    caused_by_bait: ClassVar[bool] = False


class GeometryFailed(BuildFailed):
    """The solid did not come out closed, outward and positive."""

    kind = "geometry-failed"
    title = "The solid did not come out sound"
    caused_by_bait = True


class TimeLimitExceeded(BuildFailed):
    """The work ran past its time limit and was ended."""

    kind = "time-limit"
    title = "The work took longer than it may"
    caused_by_bait = True


class HostBusy(BuildFailed):
    """The work ran past its time limit, most of which it waited for a processor that others had."""

    kind = "host-busy"
    title = "The machine had no time for the work"


class OutOfMemory(BuildFailed):
    """The work asked for more memory than it may have."""

    kind = "out-of-memory"
    title = "The work needed more memory than it may have"
    caused_by_bait = True


class WorkerCrashed(BuildFailed):
    """The process that built the bait ended in a way that would repeat (a segmentation fault, an abort)."""

    kind = "worker-crashed"
    title = "The work ended its process"
    caused_by_bait = True


class WorkerLost(BuildFailed):
    """The process that built the bait was killed, or its machine went away, as often as we try."""

    kind = "worker-lost"
    title = "The work was interrupted as often as we try"


class StorageFailed(BuildFailed):
    """The finished files could not be written: disk full, folder read-only."""

    kind = "storage-failed"
    title = "The files could not be stored"


class InternalFault(BuildFailed):
    """A fault of ours; the log has the details, the caller does not."""

    kind = "internal"
    title = "Something went wrong on our side"
