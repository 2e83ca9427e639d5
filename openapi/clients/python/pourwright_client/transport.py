"""One call and its repetitions: when to come back, how long to go on, what may be sent twice."""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urljoin, urlsplit

import urllib3
from urllib3.exceptions import HTTPError, InvalidHeader

from pourwright_client.errors import Busy, ServiceFailed, Unreachable, raised_for
from pourwright_client.problem import Problem

LONGEST_WAIT_S = 25
"""The most that the service waits in one call (`Prefer: wait`)."""
CONNECT_S = 10.0
ANSWER_S = LONGEST_WAIT_S + 15.0
"""How long a call may say nothing before it counts as lost: longer than the service may be waiting on purpose."""
TRIES = 4
"""How often a call is made at most where no answer comes. Of one that is answered 429 or 503 patience alone decides."""
FIRST_PAUSE_S = 0.2


@dataclass(frozen=True, slots=True)
class Deadline:
    """When patience ends, on the monotonic clock."""

    patience_s: float
    at: float

    @classmethod
    def within(cls, patience_s: float) -> Deadline:
        return cls(patience_s, time.monotonic() + patience_s)

    @property
    def left_s(self) -> float:
        return max(0.0, self.at - time.monotonic())

    def pause(self, seconds: float) -> bool:
        """Sleeps so long, and up to a tenth more, so that many who were told the same do not come at once.

        False, and no sleep, where patience ends before that.
        """
        if seconds > self.left_s:
            return False
        time.sleep(min(self.left_s, seconds * random.uniform(1.0, 1.1)))
        return True


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer that was 2xx, read to its end."""

    status: int
    headers: Mapping[str, str]
    content: bytes

    @property
    def retry_after_s(self) -> float | None:
        """When to come back, where the answer says so."""
        return retry_after_s(self.headers)

    def json(self) -> Any:
        """Raises ServiceFailed where it is no JSON."""
        try:
            return json.loads(self.content)
        except ValueError:
            raise ServiceFailed(Problem.of_answer(self.status, self.content)) from None


@dataclass(frozen=True, slots=True)
class Transport:
    """Calls one service. Safe among threads; each call takes a connection out of the pool.

    `key` goes to that service alone: an address of another origin is refused.
    """

    url: str
    key: str | None = field(default=None, repr=False)
    pool: urllib3.PoolManager = field(default_factory=urllib3.PoolManager, repr=False)

    def address(self, reference: str) -> str:
        """The whole address of a reference out of an answer. Raises ValueError for one that leads elsewhere."""
        base = self.url.rstrip("/") + "/"
        whole = urljoin(base, reference)
        if urlsplit(whole)[:2] != urlsplit(base)[:2]:
            raise ValueError(f"{reference} leads away from {self.url}")
        return whole

    def call(
        self,
        method: str,
        reference: str,
        deadline: Deadline,
        *,
        body: bytes | None = None,
        headers: Mapping[str, str] | None = None,
        repeatable: bool = True,
    ) -> Answer:
        """One call, made again where that can help. Raises Answered, Unreachable.

        `repeatable`: whether it may be sent again where it is unknown if it was done. What was answered 429 or 503 was
        not done, and is always sent again.
        """

        def once() -> Answer:
            with self.open(method, reference, deadline, body=body, headers=headers) as answer:
                return Answer(answer.status, answer.headers, answer.read())

        return persist(once, deadline, TRIES if repeatable else 1)

    @contextmanager
    def open(
        self,
        method: str,
        reference: str,
        deadline: Deadline,
        *,
        body: bytes | None = None,
        headers: Mapping[str, str] | None = None,
    ) -> Iterator[urllib3.BaseHTTPResponse]:
        """One call made once, its answer yet to be read. Raises Answered, or HTTPError where the line fails."""
        sent = {"Accept-Encoding": "identity", **(headers or {})}
        if self.key:
            sent["Authorization"] = f"Bearer {self.key}"
        answer = self.pool.request(
            method,
            self.address(reference),
            body=body,
            headers=sent,
            timeout=urllib3.Timeout(connect=CONNECT_S, read=min(ANSWER_S, deadline.left_s + 1.0)),
            retries=False,
            redirect=False,
            preload_content=False,
        )
        try:
            if not 200 <= answer.status < 300:
                problem = Problem.of_answer(answer.status, answer.read())
                raise raised_for(problem, retry_after_s(answer.headers))
            yield answer
        finally:
            # Read to its end it has given its connection back before; else that is closed, for what is left of it must
            # not be read as another answer.
            answer.close()
            answer.release_conn()


def persist(once: Callable[[], Answer], deadline: Deadline, tries: int) -> Answer:
    """Makes a call again when the service says when to come back, and, up to `tries` times, where no answer came.

    Not by `urllib3.Retry`, which counts tries and knows no deadline: it would sleep however long Retry-After says, and
    cannot tell a 409 that is only early from one that stays.
    """
    failures = 0
    while True:
        try:
            return once()
        except Busy as busy:
            pause_s = busy.retry_after_s if busy.retry_after_s is not None else 1.0
            if not deadline.pause(max(FIRST_PAUSE_S, pause_s)):
                raise
        except HTTPError as lost:
            failures += 1
            if failures >= tries or not deadline.pause(FIRST_PAUSE_S * 4 ** (failures - 1)):
                raise Unreachable(f"no answer: {lost}") from lost


def retry_after_s(headers: Mapping[str, str]) -> float | None:
    """What Retry-After says (RFC 9110: seconds or a date), in seconds from now; None where it says nothing."""
    told = headers.get("Retry-After")
    if told is None:
        return None
    try:
        return max(0.0, urllib3.Retry().parse_retry_after(told))
    except InvalidHeader:
        return None
