"""What the web process loads, and what its server settings come to."""

from __future__ import annotations

import contextlib
import gc
import json
import os
import runpy
import socket
import subprocess
import sys
import threading
from pathlib import Path
from typing import BinaryIO

import pytest
from gunicorn.config import Config
from gunicorn.http import errors

from service.prefer import LONGEST_WAIT_S
from service.server_worker import ProblemWorker, end_stalled_reads, end_stalled_sends, refusal
from tests.stack import ROOT

# Solids, pictures, searches and the building of baits belong to workers (the house sketch): the first holds the
# interpreter for as long as it works, and all of them cost memory in a process that serves.
FORBIDDEN = ("manifold3d", "trimesh", "PIL", "ortools", "worker.jobs", "worker.build", "worker.solid", "worker.picture")

SERVE_AND_TELL = """
import json, sys
from service.wsgi import app
client = app.test_client()
from worker.styles import STYLES
style = [client.get(f"/v1/styles/{name}").json for name in STYLES]
for one in style:
    assert client.post("/v1/estimates", json=one["example"]).status_code == 200
for path in ("/v1/plastics/soft", "/v1/openapi.json", "/docs", "/healthz"):
    assert client.get(path).status_code == 200, path
assert client.post("/v1/estimates", json={"style": "x"}).status_code == 503  # whose style that is, the store knows
housed = {"style": "x", "house_style": {"base": "craw", "bounds": {"claw_length": {}}}}
assert client.post("/v1/estimates", json=housed).status_code == 200
assert client.post("/v1/estimates", json={**housed, "params": {"x": 1}}).status_code == 422
assert client.post("/v1/baits", json=style[0]["example"]).status_code == 503
print(json.dumps(sorted(sys.modules)))
"""


def run(program: str, tmp_path: Path, **environ: str) -> subprocess.CompletedProcess[str]:
    settings = {"POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_STORE_URL": f"unix://{tmp_path}/nobody"}
    return subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=os.environ | settings | environ,
        capture_output=True,
        text=True,
        timeout=120,
    )


def test_the_web_process_never_loads_what_builds(tmp_path: Path) -> None:
    done = run(SERVE_AND_TELL, tmp_path)
    assert done.returncode == 0, done.stderr
    loaded = json.loads(done.stdout)
    assert "worker.estimate" in loaded and "service.routes.baits" in loaded
    found = [name for name in loaded for one in FORBIDDEN if name == one or name.startswith(one + ".")]
    assert found == []


def test_a_setting_that_cannot_be_used_stops_the_start_with_a_sentence(tmp_path: Path) -> None:
    done = run("import service.wsgi", tmp_path, POURWRIGHT_PORT="eighty")
    assert done.returncode != 0
    assert "POURWRIGHT_PORT: 'eighty' is not a whole number from 0 to 65535" in done.stderr


def test_a_read_that_stalls_on_an_accepted_connection_ends() -> None:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        end_stalled_reads(listener, 0.05)
        with socket.create_connection(listener.getsockname()) as client:
            accepted, _ = listener.accept()
            with accepted:
                accepted.setblocking(True)  # as gunicorn's threads have it
                with pytest.raises(BlockingIOError):
                    accepted.recv(1)
                client.sendall(b"x")
                assert accepted.recv(1) == b"x"


@pytest.mark.parametrize("how", ["sendall", "sendfile"])
def test_a_send_to_who_takes_nothing_ends(how: str, tmp_path: Path) -> None:
    (tmp_path / "large").write_bytes(bytes(30_000_000))  # beyond what both ends' kernels would hold
    with socket.socket() as listener, open(tmp_path / "large", "rb") as file:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        end_stalled_sends(listener, 0.5)
        with socket.create_connection(listener.getsockname()):
            accepted, _ = listener.accept()
            with accepted:
                accepted.setblocking(True)  # as gunicorn's threads have it
                ended: list[OSError] = []
                sending = threading.Thread(target=_send, args=(accepted, how, file, ended), daemon=True)
                sending.start()
                sending.join(20)
                assert len(ended) == 1, "it hangs"


def _send(accepted: socket.socket, how: str, file: BinaryIO, ended: list[OSError]) -> None:
    try:
        accepted.sendfile(file) if how == "sendfile" else accepted.sendall(file.read())
    except OSError as error:
        ended.append(error)


SILENT = """
import os
from service.server_worker import ProblemWorker

class Hasty(ProblemWorker):
    stalled_after_s = 1.0

class Endless:
    def __iter__(self):
        while True:
            yield bytes(65536)
    def close(self):
        os.write(1, b"closed\\n")

def app(environ, start_response):
    up = environ["PATH_INFO"] == "/up"
    start_response("200 OK", [("Content-Length", "0" if up else str(10**12))])
    return [] if up else Endless()
"""


def test_answers_that_nobody_takes_are_closed(tmp_path: Path) -> None:
    (tmp_path / "silent.py").write_text(SILENT)
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        command = [sys.executable, "-m", "gunicorn", "-k", "silent.Hasty", "--threads", "4", "silent:app"]
        command += ["--bind", f"fd://{listener.fileno()}", "--log-level", "info", "--pythonpath", str(tmp_path)]
        process = subprocess.Popen(
            command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, pass_fds=[listener.fileno()]
        )
        watch = threading.Timer(60, process.kill)
        watch.start()
        try:
            with contextlib.ExitStack() as closing:
                for path in ("/up", "/a", "/b", "/c", "/d"):
                    client = closing.enter_context(socket.create_connection(listener.getsockname()))
                    client.sendall(f"GET {path} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())
                    assert client.recv(12) == b"HTTP/1.1 200"
                assert process.stdout is not None
                assert [process.stdout.readline() for _ in range(4)] == [b"closed\n"] * 4, "they hold every thread"
        finally:
            process.terminate()
            said = process.communicate(timeout=20)[1].decode()
            watch.cancel()
    assert "Traceback" not in said


@pytest.mark.parametrize(
    ("error", "status"),
    [
        (errors.InvalidRequestLine("x"), 400),
        (errors.InvalidHeader("x"), 400),
        (errors.UnsupportedTransferCoding("x"), 400),
        (errors.LimitRequestLine(5000, 4094), 414),
        (errors.LimitRequestHeaders("x"), 431),
        (errors.InvalidResponseHeader("x"), 500),  # a header of ours
        (ZeroDivisionError("a secret"), 500),
    ],
)
def test_the_server_refuses_as_everything_else_does(error: Exception, status: int) -> None:
    class Log:
        def __getattr__(self, name: str) -> object:
            return lambda *arguments, **named: None

    worker = ProblemWorker.__new__(ProblemWorker)
    worker.log = Log()
    client, server = socket.socketpair()
    with client, server:
        worker.handle_error(None, server, ("127.0.0.1", 1), error)
        head, _, body = client.recv(65536).partition(b"\r\n\r\n")
    assert int(head.split(b" ", 2)[1]) == status
    assert b"Content-Type: application/problem+json" in head and b"Connection: close" in head
    assert json.loads(body)["status"] == status and b"secret" not in body


def test_a_refusal_tells_its_own_length() -> None:
    head, _, body = refusal(400, "bad-request", "No").partition(b"\r\n\r\n")
    assert f"Content-Length: {len(body)}".encode() in head


def test_what_lives_as_long_as_the_process_is_not_looked_through_for_garbage() -> None:
    read = runpy.run_path(str(ROOT / "service" / "gunicorn_conf.py"))
    before = gc.get_freeze_count()
    try:
        read["post_worker_init"](None)
        # What is left to look through is a small part of what there is.
        assert gc.get_freeze_count() > before and len(gc.get_objects()) * 20 < gc.get_freeze_count()
    finally:
        gc.unfreeze()


def test_the_server_is_set_up_by_our_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in {"HOST": "::1", "PORT": "9000", "WEB_THREADS": "32", "WAITERS": "8"}.items():
        monkeypatch.setenv(f"POURWRIGHT_{name}", value)
    read = runpy.run_path(str(ROOT / "service" / "gunicorn_conf.py"))
    assert read["bind"] == ["[::1]:9000"] and read["threads"] == 32
    assert read["control_socket_disable"] and not read["preload_app"] and read["accesslog"] is None
    assert read["graceful_timeout"] > LONGEST_WAIT_S
    known = set(Config().settings)
    meant = {name for name in read if name.islower() and not name.startswith("_")}
    # A name that gunicorn does not know would be passed over in silence.
    assert meant - known == {
        *("gc", "os", "shutil", "sys", "tempfile", "load", "annotations"),
        *("forget", "hosts_of", "require_keys", "require_start"),
    }
