"""What a call may raise: one tree, `PourwrightError` at its root."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourwright_client.problem import Fault, Problem

if TYPE_CHECKING:
    from pourwright_client.records import Record


class PourwrightError(Exception):
    """Something did not go as asked."""


class Unreachable(PourwrightError):
    """No answer came, however often it was tried."""


class Answered(PourwrightError):
    """The service said no. `problem` is its problem document, whose text is this exception's."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem

    @property
    def status(self) -> int | None:
        """The HTTP status."""
        return self.problem.status

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of the request, by its pointer."""
        return self.problem.errors


class Refused(Answered):
    """The request is not one that can be done: 400, 413, 415, 422, and whatever else is 4xx."""


class NotAllowed(Answered):
    """401 or 403: no key, a wrong one, or one without the scope; or a link that has expired."""


class NotThere(Answered):
    """404 or 410: unknown, another caller's, or cleared away; the same request builds it again."""


class Clash(Answered):
    """409 or 412: it does not go with how things stand at present."""


class Busy(Answered):
    """429 or 503 for longer than patience lasted, or 409 of a key whose first call is not answered yet.

    `retry_after_s` is what the last answer asked for.
    """

    def __init__(self, problem: Problem, retry_after_s: float | None) -> None:
        super().__init__(problem)
        self.retry_after_s = retry_after_s


class ServiceFailed(Answered):
    """Any other 5xx: the fault is the service's, or a proxy's. `problem.instance` is a number to quote."""


class EndedBadly(PourwrightError):
    """A bait or a fit that `failed` or was `dismissed`. `record` is what it is now."""

    def __init__(self, record: Record) -> None:
        problem = record.problem
        super().__init__(f"{record.status}: {problem}" if problem else f"{record.status}: {record.id}")
        self.record = record
        self.problem = problem


class StillUnderWay(PourwrightError):
    """Patience ended before the work did. `id` is good for asking again: nothing is lost."""

    def __init__(self, record_id: str, status: str, patience_s: float) -> None:
        super().__init__(f"{record_id} was still {status} after {patience_s:g} s")
        self.id = record_id
        self.status = status


class WrongBytes(PourwrightError):
    """A file is not what the answer says it is: its length or its SHA-256 differs. Nothing was kept of it."""


class NotSigned(PourwrightError):
    """A webhook's call that was not signed with one of the secrets, or too long ago: answer it 400, do nothing else."""


def raised_for(problem: Problem, retry_after_s: float | None = None) -> Answered:
    """The exception for an answer that is not 2xx."""
    status = problem.status or 500
    if status in (429, 503) or problem.kind == "unanswered":
        return Busy(problem, retry_after_s)
    kinds: dict[int, type[Answered]] = {401: NotAllowed, 403: NotAllowed, 404: NotThere, 410: NotThere}
    kinds |= {409: Clash, 412: Clash}
    return kinds.get(status, Refused if status < 500 else ServiceFailed)(problem)
