"""A TCP proxy before the store that delays what passes, or holds it back."""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from pathlib import Path


class SlowProxy:
    """Each piece of bytes goes on `delay_s` later, either way, and none while it is held."""

    def __init__(self) -> None:
        self.delay_s = 0.0
        self.target = Path()  # the store's socket; set before anybody connects
        self._flows = threading.Event()
        self._flows.set()
        self._listening = socket.create_server(("127.0.0.1", 0), backlog=128)
        threading.Thread(target=self._accept, daemon=True).start()

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self._listening.getsockname()[1]}"

    def hold(self) -> None:
        self._flows.clear()

    def release(self) -> None:
        self._flows.set()

    def close(self) -> None:
        self.release()
        self._listening.close()

    def _accept(self) -> None:
        with contextlib.suppress(OSError):  # closed
            while True:
                client, _ = self._listening.accept()
                store = socket.socket(socket.AF_UNIX)
                try:
                    store.connect(str(self.target))
                except OSError:
                    client.close()
                    store.close()
                    continue
                for one, other in ((client, store), (store, client)):
                    threading.Thread(target=self._pump, args=(one, other), daemon=True).start()

    def _pump(self, one: socket.socket, other: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while piece := one.recv(1 << 16):
                time.sleep(self.delay_s)
                self._flows.wait()
                other.sendall(piece)
        for end in (one, other):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)  # the other direction's thread then sees the end too
        one.close()
