"""Whether a bucket would do is told at the start, in words and without its credentials."""

from __future__ import annotations

import os
import socket
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.bucket_server import BucketServer
from tests.records.what_is_put import BAIT, FILES, manifest
from tests.requires import requires
from worker.errors import ArtifactsUnavailable, SettingsInvalid
from worker.records.bucket import Bucket
from worker.records.check_bucket import check_apart, check_bucket
from worker.records.places import open_artifacts
from worker.settings import load


def test_without_a_bucket_there_is_nothing_to_check(tmp_path: Path) -> None:
    check_bucket(load({"POURWRIGHT_ARTIFACTS": str(tmp_path)}))
    assert check_apart(load({})) is None


@requires("bucket")
def test_a_bucket_that_does_leaves_no_trace_of_the_check(server: BucketServer) -> None:
    name = server.new_bucket()
    check_bucket(load(server.environ(name)))
    assert list(server.open(name).below("aside")) == []


@requires("bucket")
def test_a_bucket_that_is_not_there_or_does_not_heed_conditions_is_refused_in_words(
    server: BucketServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(
        SettingsInvalid, match="POURWRIGHT_ARTIFACTS: the bucket refuses us: there is none of this name"
    ):
        check_bucket(load(server.environ("no-such-bucket")))
    monkeypatch.setattr(Bucket, "create", lambda self, key, content: self.put(key, content) or True)
    with pytest.raises(SettingsInvalid, match="does not heed If-None-Match"):
        check_bucket(load(server.environ(server.new_bucket())))


class _Refusing(BaseHTTPRequestHandler):
    """Answers as S3 does to whom it does not let in (S3 API Reference, error responses: AccessDenied, 403)."""

    def _refuse(self) -> None:
        self.rfile.read(int(self.headers.get("Content-Length", 0)))
        body = b"<Error><Code>AccessDenied</Code><Message>Access Denied</Message></Error>"
        self.send_response(403)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    do_GET = do_HEAD = do_PUT = do_POST = do_DELETE = _refuse

    def log_message(self, *_: object) -> None:
        """Nothing."""


def test_a_bucket_that_refuses_the_credentials_is_told_so_without_them() -> None:
    refusing = ThreadingHTTPServer(("127.0.0.1", 0), _Refusing)
    threading.Thread(target=refusing.serve_forever, daemon=True).start()
    try:
        environ = {"POURWRIGHT_ARTIFACTS": "s3://baits", "AWS_ACCESS_KEY_ID": "me", "AWS_SECRET_ACCESS_KEY": "hunter2"}
        settings = load(environ | {"AWS_ENDPOINT_URL": f"http://127.0.0.1:{refusing.server_port}"})
        begun = time.monotonic()
        with pytest.raises(SettingsInvalid, match=r"POURWRIGHT_ARTIFACTS: the bucket refuses us: .*403") as told:
            check_bucket(settings)
        assert time.monotonic() - begun < 5, "what does not pass is not tried again"
        assert "hunter2" not in told.value.detail
        artifacts = open_artifacts(settings)
        assert artifacts.answers() is False
        for call in (lambda: artifacts.stamp(BAIT), lambda: artifacts.put_all(BAIT.attempt(1), FILES, manifest())):
            with pytest.raises(ArtifactsUnavailable):
                call()
    finally:
        refusing.shutdown()
        refusing.server_close()


@requires("bucket")
def test_a_process_that_will_fork_has_it_checked_by_another(
    server: BucketServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    def checked(environ: dict[str, str]) -> str | None:
        for name, value in environ.items():
            monkeypatch.setenv(name, value)
        return check_apart(load())

    assert checked(server.environ(server.new_bucket())) is None
    with pytest.raises(SettingsInvalid, match="there is none of this name"):
        checked(server.environ("no-such-bucket"))
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        away = checked({"AWS_ENDPOINT_URL": f"http://127.0.0.1:{nobody.getsockname()[1]}"})
    assert away is not None and "does not answer" in away and "any-secret" not in away


@requires("bucket")
def test_what_was_opened_before_a_fork_is_an_error_after_it_and_no_stillness(
    server: BucketServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    server.open(server.new_bucket()).look("any")
    monkeypatch.setattr(os, "getpid", lambda: 0)  # as in a process forked from this one
    with pytest.raises(RuntimeError, match="before this process was forked"):
        server.open("another").look("any")
