"""A server of a test's own on loopback, which serves until its block ends."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator
from http.server import ThreadingHTTPServer


@contextlib.contextmanager
def serving(server: ThreadingHTTPServer) -> Iterator[int]:
    """Gives the port."""
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    try:
        yield server.server_port
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
