"""One POST: to the address that was resolved, bounded in time and in size, without redirects."""

from __future__ import annotations

import socket
import ssl
import time
from http.server import BaseHTTPRequestHandler

import pytest
import trustme

from tests.hooks.receiver import receiver, status
from worker.hooks.addresses import read_address
from worker.hooks.sending import Outcome, Sender


def test_it_connects_to_the_address_that_was_resolved_and_names_the_host() -> None:
    with receiver() as here:
        listed = (f"http://hooks.alderbank.example:{here.port}",)
        address = read_address(f"{listed[0]}/a?b=c", listed)
        answers = iter([["127.0.0.1"], ["192.0.2.1"]])  # another one would be given to whoever asks twice
        outcome = Sender(5, lambda host, port: next(answers)).send(address, b'{"a": 1}', {"webhook-id": "msg_1"})
        assert outcome.arrived
        headers, body = here.calls[0]
        assert headers["host"] == f"hooks.alderbank.example:{here.port}" and body == b'{"a": 1}'
        assert headers["webhook-id"] == "msg_1" and headers["connection"] == "close"


@pytest.mark.parametrize("number", [301, 302, 307, 308, 400, 404, 410, 429, 500, 503])
def test_everything_but_2xx_has_failed_and_no_redirect_is_followed(number: int) -> None:
    with receiver() as here, receiver() as elsewhere:
        here.answer = status(number, Location=elsewhere.origin, Retry_After="70")
        outcome = Sender(5).send(read_address(here.origin, (here.origin,)), b"{}", {})
        assert not outcome.arrived and outcome.reason == f"Answered {number}."
        assert outcome.gone == (number == 410) and outcome.retry_after_s == 70.0
        assert elsewhere.calls == [] and len(here.calls) == 1


def drip(handler: BaseHTTPRequestHandler) -> None:
    """A byte now and then: no time-out between bytes ever ends it."""
    for byte in b"HTTP/1.1 200 OK\r\nX: " + b"x" * 600:
        handler.wfile.write(bytes([byte]))
        handler.wfile.flush()
        time.sleep(0.05)


def test_an_answer_that_drips_is_ended_at_the_limit() -> None:
    with receiver() as here:
        here.answer = drip
        begun = time.monotonic()
        outcome = Sender(0.5).send(read_address(here.origin, (here.origin,)), b"{}", {})
        assert not outcome.arrived and outcome.reason == "No answer within 0.5 s."
        assert time.monotonic() - begun < 5


def flood(handler: BaseHTTPRequestHandler) -> None:
    """An answer without an end."""
    handler.send_response(200)
    handler.end_headers()
    while True:
        handler.wfile.write(bytes(65536))


def test_an_answer_without_an_end_is_not_read_to_it() -> None:
    with receiver() as here:
        here.answer = flood
        assert Sender(20).send(read_address(here.origin, (here.origin,)), b"{}", {}).arrived


def test_who_does_not_listen_and_who_has_no_address_are_failures_in_words() -> None:
    with receiver() as here:
        origin = here.origin
    outcome = Sender(5).send(read_address(origin, (origin,)), b"{}", {})
    assert not outcome.arrived and outcome.reason == "No answer: ConnectionRefusedError."

    def nowhere(host: str, port: int) -> list[str]:
        raise OSError("no such name")

    assert not Sender(5, nowhere).send(read_address("https://hooks.alderbank.example/"), b"{}", {}).arrived


def test_proxies_of_the_environment_are_not_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    with receiver() as here, receiver() as proxy:
        for name in ("http_proxy", "HTTP_PROXY", "https_proxy", "ALL_PROXY"):
            monkeypatch.setenv(name, proxy.origin)
        assert Sender(5).send(read_address(here.origin, (here.origin,)), b"{}", {}).arrived
        assert proxy.calls == []


def test_a_certificate_must_be_the_names_and_known() -> None:
    authority = trustme.CA()
    serving, trusting = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER), ssl.create_default_context()
    authority.issue_cert("hooks.alderbank.example").configure_cert(serving)
    authority.configure_trust(trusting)
    with receiver(lambda listener: serving.wrap_socket(listener, server_side=True)) as here:

        def send(host: str, context: ssl.SSLContext | None) -> Outcome:
            origin = f"https://{host}:{here.port}"
            sender = Sender(5, lambda name, port: ["127.0.0.1"], context)
            return sender.send(read_address(origin, (origin,)), b"{}", {})

        assert send("hooks.alderbank.example", trusting).arrived
        other = send("other.alderbank.example", trusting)
        assert not other.arrived and other.reason.startswith("Its certificate does not hold: Hostname mismatch")
        unknown = send("hooks.alderbank.example", None)
        assert not unknown.arrived and unknown.reason.startswith("Its certificate does not hold: unable to get")
        assert len(here.calls) == 1


def test_a_handshake_that_stalls_is_ended_at_the_limit() -> None:
    with socket.create_server(("127.0.0.1", 0)) as mute:
        origin = f"https://hooks.alderbank.example:{mute.getsockname()[1]}"
        begun = time.monotonic()
        outcome = Sender(0.5, lambda name, port: ["127.0.0.1"]).send(read_address(origin, (origin,)), b"{}", {})
    assert not outcome.arrived and outcome.reason == "No answer within 0.5 s." and time.monotonic() - begun < 5
