"""One POST to a stranger's server: resolved once, connected to that very address, bounded in time and in size."""

from __future__ import annotations

import http.client
import socket
import ssl
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from worker.errors import AddressForbidden
from worker.hooks.addresses import Address, require_public

CONNECT_S = 5.0
MOST_OF_AN_ANSWER = 16_384  # bytes that are read of it; nothing of them is kept

Resolve = Callable[[str, int], list[str]]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one try. `reason` is for the webhook's owner; nothing of the answer's body is in it."""

    arrived: bool
    reason: str
    gone: bool = False
    retry_after_s: float | None = None


def resolve(host: str, port: int) -> list[str]:
    """Every IP address of a host. Raises OSError."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(one[4][0]) for one in found))


class Sender:
    """Sends; one for all threads. `resolving` is the system's resolver unless a test brings its own."""

    def __init__(self, limit_s: float, resolving: Resolve = resolve, context: ssl.SSLContext | None = None) -> None:
        self._limit_s = limit_s
        self._resolve = resolving
        self._context = context or ssl.create_default_context()

    def send(self, address: Address, body: bytes, headers: Mapping[str, str], tries: int = 0) -> Outcome:
        """One POST. `tries` made before turn to another of the host's addresses. Never raises for what the net does."""
        until = time.monotonic() + self._limit_s
        try:
            place = self._place(address, tries)
            return self._post(address, place, body, headers, until)
        except AddressForbidden as refused:
            return Outcome(False, refused.detail)
        except ssl.SSLCertVerificationError as failed:
            return Outcome(False, f"Its certificate does not hold: {failed.verify_message}.")
        except TimeoutError:
            return Outcome(False, f"No answer within {self._limit_s:g} s.")
        except (OSError, http.client.HTTPException, UnicodeError) as failed:
            if time.monotonic() >= until:
                return Outcome(False, f"No answer within {self._limit_s:g} s.")
            return Outcome(False, f"No answer: {type(failed).__name__}.")

    def _place(self, address: Address, tries: int) -> str:
        """The one IP address that is connected to: what was checked is what is called, whatever the name says next."""
        places = self._resolve(address.host, address.port)
        if not places:
            raise OSError("no address")
        if not address.listed:
            for place in places:
                require_public(place)
        return places[tries % len(places)]

    def _post(self, address: Address, place: str, body: bytes, headers: Mapping[str, str], until: float) -> Outcome:
        """No proxy is asked and no redirect followed: this speaks to the socket that it opened, once."""
        connected = socket.create_connection((place, address.port), timeout=min(CONNECT_S, self._limit_s))
        stream: socket.socket = connected
        if address.scheme == "https":
            stream = self._context.wrap_socket(
                connected, server_hostname=address.host, do_handshake_on_connect=False
            )  # the old object is empty from here on
        # The time-out of a socket counts from byte to byte; a server that sends one a second is ended by this.
        watch = threading.Timer(max(0.1, until - time.monotonic()), _shut, [stream])
        watch.daemon = True
        watch.start()
        speaking = http.client.HTTPConnection(place, address.port)
        try:
            stream.settimeout(self._limit_s)
            if isinstance(stream, ssl.SSLSocket):
                stream.do_handshake()
            speaking.sock = stream
            fields = {"Host": address.authority, "Accept-Encoding": "identity", "Connection": "close", **headers}
            speaking.request("POST", address.target, body, fields)
            with speaking.getresponse() as answer:
                answer.read(MOST_OF_AN_ANSWER)
                return _judged(answer.status, answer.getheader("Retry-After"))
        finally:
            watch.cancel()
            speaking.close()
            stream.close()


def _judged(status: int, retry_after: str | None) -> Outcome:
    """2xx arrived; 410 wants no more; everything else, redirects too, has failed."""
    asked = float(retry_after) if retry_after and retry_after.isdecimal() and len(retry_after) < 9 else None
    arrived = 200 <= status < 300
    return Outcome(arrived, f"Answered {status}.", gone=status == 410, retry_after_s=None if arrived else asked)


def _shut(stream: socket.socket) -> None:
    try:
        stream.shutdown(socket.SHUT_RDWR)
    except OSError:
        return  # it was over in that very moment
