"""The real service as a process: gunicorn over a real store, with or without a real pool of workers."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from tests.stack import ROOT, Stack, eventually, stack


@dataclass
class Answer:
    """One answer, read to its end."""

    status: int
    headers: http.client.HTTPMessage
    data: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.data)

    @property
    def status_code(self) -> int:
        return self.status

    @property
    def mimetype(self) -> str:
        return self.headers.get_content_type()


@dataclass
class Service:
    """A running service; `log` has what it wrote."""

    port: int
    process: subprocess.Popen[bytes]
    stack: Stack
    metrics_port: int = 0

    def call(self, method: str, path: str, body: object = None, **headers: str) -> Answer:
        """One request on a connection of its own."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        content = None
        if body is not None:
            content = json.dumps(body).encode()
            named.setdefault("Content-Type", "application/json")
        return self.call_with(method, path, content, named)

    def call_with(self, method: str, path: str, content: bytes | None, named: Mapping[str, str]) -> Answer:
        """The same of a body that is written already."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.request(method, path, content, dict(named))
            response = connection.getresponse()
            return Answer(response.status, response.headers, response.read())
        finally:
            connection.close()

    def send(self, raw: bytes) -> Answer:
        """Bytes as they are, and the answer to them."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=60) as connection:
            connection.sendall(raw)
            response = http.client.HTTPResponse(connection)
            response.begin()
            return Answer(response.status, response.headers, response.read())


@contextlib.contextmanager
def service(
    *,
    workers: bool,
    courier: bool = False,
    store_password: str = "",
    processes: int = 1,
    more: Mapping[str, str] | None = None,
    **settings: object,
) -> Iterator[Service]:
    """The service on a port that was free, ready to be called; all of it is gone afterwards.

    With several processes it has a second port for metrics.
    """
    with contextlib.ExitStack() as closing:
        metrics_listener = closing.enter_context(socket.socket())
        if processes > 1:
            metrics_listener.bind(("127.0.0.1", 0))
            metrics_listener.listen(128)
            settings["metrics_port"] = metrics_listener.getsockname()[1]
        below = closing.enter_context(stack(store_password=store_password, more=more, **settings))
        listener = closing.enter_context(socket.socket())
        environ = os.environ | below.environ
        log = closing.enter_context(open(below.settings.state_dir / "service.log", "ab"))
        if workers:
            command = [sys.executable, "-m", "worker.jobs"]
            pool = subprocess.Popen(command, cwd=ROOT, env=environ, stderr=log, start_new_session=True)
            below.pools.append(pool)
        if courier:
            command = [sys.executable, "-m", "worker.hooks"]
            below.pools.append(subprocess.Popen(command, cwd=ROOT, env=environ, stderr=log, start_new_session=True))
        listener.bind(("127.0.0.1", 0))
        listener.listen(128)
        places = ["--bind", f"fd://{listener.fileno()}"]
        if processes > 1:
            places += ["--bind", f"fd://{metrics_listener.fileno()}", "--workers", str(processes)]
        process = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", "-c", "service/gunicorn_conf.py", *places, "service.wsgi:app"],
            cwd=ROOT,
            env=environ,
            stderr=log,
            pass_fds=[listener.fileno(), metrics_listener.fileno()],
            start_new_session=True,
        )
        metrics_port = metrics_listener.getsockname()[1] if processes > 1 else 0
        made = Service(listener.getsockname()[1], process, below, metrics_port)
        try:
            eventually(lambda: made.call("GET", "/readyz" if workers else "/healthz").status == 200, 60)
            yield made
        finally:
            if process.poll() is None:
                process.terminate()
                try:
                    process.wait(20)
                except subprocess.TimeoutExpired:
                    os.killpg(process.pid, signal.SIGKILL)
                    process.wait()
