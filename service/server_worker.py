"""gunicorn's threaded worker with our manners: problems for what is not HTTP, an end to reads and sends that stall."""

from __future__ import annotations

import json
import socket
import struct
from http import HTTPStatus
from types import FrameType
from typing import Any

from gunicorn import util
from gunicorn.glogging import Logger
from gunicorn.http import errors
from gunicorn.workers.gthread import ThreadWorker

from service.headers import SECURITY_HEADERS
from service.problems import MEDIA_TYPE
from worker.errors import PROBLEM_PREFIX
from worker.records.logs import formatter
from worker.settings import load

STALLED_AFTER_S = 20

# What the server refuses before a request exists that the application could refuse. Whatever is not listed
# is 400, an unknown transfer coding too: it is the client's doing, and 501 would read like a fault of ours.
_STATUS_OF: dict[type[Exception], tuple[int, str, str]] = {
    errors.LimitRequestLine: (414, "uri-too-long", "The address is too long"),
    errors.LimitRequestHeaders: (431, "headers-too-large", "The headers are too large"),
    errors.ExpectationFailed: (417, "expectation-failed", "The expectation cannot be met"),
}
# Its tree files under "parse" also what is wrong with an answer or a setting of ours.
_FAULTS_OF_OURS = (
    errors.InvalidResponseHeader,
    errors.InvalidResponseHeaderName,
    errors.ConfigurationProblem,
)
_NOT_HTTP = (400, "bad-request", "The request is not HTTP that we can read")
_OURS = (500, "internal", "Something went wrong on our side")

_SECURITY = "".join(f"{name}: {value}\r\n" for name, value in SECURITY_HEADERS.items())


class JsonLogger(Logger):  # type: ignore[misc]  # gunicorn publishes no types
    """gunicorn's own messages in the form of all our logs, which takes secrets out: at debug it tells addresses."""

    def setup(self, cfg: Any) -> None:
        """Called once, with gunicorn's configuration."""
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(formatter(load().log_format))


class ProblemWorker(ThreadWorker):  # type: ignore[misc]  # gunicorn publishes no types
    """See the module."""

    stalled_after_s: float = STALLED_AFTER_S

    def init_process(self) -> None:
        """Before anything is accepted."""
        for listener in self.sockets:
            end_stalled_reads(listener, self.stalled_after_s)
            end_stalled_sends(listener, self.stalled_after_s)
        super().init_process()

    def handle_request(self, req: Any, conn: Any) -> Any:
        """A client that takes nothing any more is let go in a line; what held the answer has been closed by then."""
        try:
            return super().handle_request(req, conn)
        except (BlockingIOError, TimeoutError) as stalled:
            self.log.info("a client that did not take its answer was let go: %s", stalled)
            return False

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Told to stop: have those who wait for a bait answered with what is known."""
        backing = getattr(self.wsgi, "extensions", {}).get("pourwright")
        if backing is not None:
            backing.waiters.stop()
        super().handle_exit(sig, frame)

    def handle_error(self, req: Any, client: socket.socket, addr: Any, exc: Exception) -> None:
        """Answer what the server itself refuses as everything else is answered."""
        if isinstance(exc, errors.ParseException) and not isinstance(exc, _FAULTS_OF_OURS):
            status, kind, title = _STATUS_OF.get(type(exc), _NOT_HTTP)
            self.log.info("refused a request with %d: %s", status, type(exc).__name__)
        else:
            status, kind, title = _OURS
            self.log.error("a request ended in %s", type(exc).__name__, exc_info=exc)
        try:
            util.write_nonblock(client, refusal(status, kind, title))
        except OSError:
            self.log.debug("the client did not wait for its refusal")


def refusal(status: int, kind: str, title: str) -> bytes:
    """A whole HTTP answer that carries a problem document and closes the connection."""
    document = {
        "type": PROBLEM_PREFIX + kind,
        "title": title,
        "status": status,
        "detail": f"{title}; the connection is closed.",
        "errors": [],
    }
    body = json.dumps(document).encode()
    head = (
        f"HTTP/1.1 {status} {HTTPStatus(status).phrase}\r\n"
        f"Content-Type: {MEDIA_TYPE}\r\n"
        f"Content-Length: {len(body)}\r\n"
        "Cache-Control: no-store\r\n"
        f"{_SECURITY}Connection: close\r\n\r\n"
    )
    return head.encode() + body


def end_stalled_reads(listener: Any, seconds: float) -> None:
    """Let no read on a connection that this listener accepts last longer: it then fails with BlockingIOError.

    Without it a client that sends half a body and stops holds a thread for as long as it likes. Connections
    inherit the option from their listener.
    """
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, _timeval(seconds))


def end_stalled_sends(listener: Any, seconds: float) -> None:
    """Let no connection of this listener live on whose other side takes nothing for so long: its next send fails.

    TCP's own limit (RFC 5482, `TCP_USER_TIMEOUT` of Linux) ends it also while the kernel sends a file; of that
    Python would wait without an end, whatever SO_SNDTIMEO says, which stands here for sockets other than TCP.
    """
    if listener.family in (socket.AF_INET, socket.AF_INET6) and hasattr(socket, "TCP_USER_TIMEOUT"):
        listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, int(seconds * 1000))
    else:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, _timeval(seconds))


def _timeval(seconds: float) -> bytes:
    whole = int(seconds)
    return struct.pack("ll", whole, int((seconds - whole) * 1e6))
