"""Our own store: a Valkey or Redis server on a Unix socket, durable, alone on its state folder."""

from __future__ import annotations

import fcntl
import os
import re
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import redis
from redis.backoff import NoBackoff
from redis.retry import Retry

from service.stack.failure import StartFailed
from service.stack.server import ServerProgram, find_server
from service.stack.supervise import Program

# A Unix socket's path has room for 103 bytes on macOS and 107 on Linux.
LONGEST_SOCKET_PATH = 100
SOCKET = "store.sock"
SHELTER = "pourwright-"
# A stack that was killed may need a moment until its store has let go of the folder.
LOCK_PATIENCE_S = 2.0


@dataclass(frozen=True, slots=True)
class OwnStore:
    """A store that is ours to run: where its data is, where it listens, and the lock that makes it alone."""

    server: ServerProgram
    folder: Path
    socket: Path
    lock: int

    @property
    def url(self) -> str:
        """The address for POURWRIGHT_STORE_URL."""
        return "unix://" + quote(str(self.socket))

    @property
    def log(self) -> Path:
        return self.folder / "store.log"

    def command(self) -> list[str]:
        """In the foreground, no TCP port, a write on the disk before it is acknowledged, no eviction."""
        options = {
            "port": "0",
            "unixsocket": str(self.socket),
            "unixsocketperm": "700",
            "dir": str(self.folder),
            "appendonly": "yes",
            "appendfsync": "always",
            "save": "",
            "maxmemory": "0",
            "maxmemory-policy": "noeviction",
            "enable-debug-command": "no",
            "enable-module-command": "no",
            "daemonize": "no",
            "logfile": str(self.log),
        }
        return [self.server.path, *(word for name, value in options.items() for word in (f"--{name}", value))]

    def answers(self) -> bool:
        """Whether it answers PING. While it still reads its data it does not."""
        client = redis.Redis(
            unix_socket_path=str(self.socket),
            socket_timeout=1,
            socket_connect_timeout=1,
            retry=Retry(NoBackoff(), 0),
        )
        try:
            return bool(client.ping())
        except redis.RedisError:
            return False
        finally:
            client.close()

    def program(self) -> Program:
        """What the supervisor runs. It inherits the lock: the folder is free only once the server is gone."""
        return Program(
            name="store",
            command=self.command(),
            environment=os.environ,
            is_ready=self.answers,
            ready_within_s=120,
            stop_within_s=20,
            keep_open=(self.lock,),
            hint=f"Its log is {self.log}.",
        )


@contextmanager
def own_store(state_dir: Path) -> Iterator[OwnStore]:
    """Claim the state folder and say how to run a store on it; nothing is started yet.

    Raises StartFailed where the folder cannot be written, another stack holds it, or no server runs here.
    """
    folder = state_dir / "store"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        lock = os.open(folder / "lock", os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as reason:
        raise StartFailed(
            f"The state folder {state_dir} cannot be used ({reason.strerror}). Make it writable, or set "
            "POURWRIGHT_STATE_DIR to a folder that is."
        ) from reason
    try:
        _claim(lock, state_dir)
        server = find_server()
        with _place_for_socket(folder) as place:
            yield OwnStore(server, folder, place / SOCKET, lock)
    finally:
        os.close(lock)


@contextmanager
def _place_for_socket(folder: Path) -> Iterator[Path]:
    """The folder itself where its path suits a socket, else a short private one that is removed afterwards.

    A note in the folder names the private one, so that after a stack was killed the next one removes it.
    """
    note = folder / "socket-folder"
    with suppress(FileNotFoundError):
        _remove_left(Path(os.fsdecode(note.read_bytes())))
    if _suits_a_socket(folder / SOCKET):
        yield folder
        return
    places = (Path(tempfile.gettempdir()), Path("/tmp"))
    parent = next(place for place in places if _suits_a_socket(place / f"{SHELTER}12345678" / SOCKET))
    with tempfile.TemporaryDirectory(prefix=SHELTER, dir=parent, ignore_cleanup_errors=True) as shelter:
        note.write_bytes(os.fsencode(shelter))
        yield Path(shelter)
    note.unlink(missing_ok=True)


def _remove_left(shelter: Path) -> None:
    """Remove what a killed stack left; only a folder of the form that we make, and only if nothing else is in it."""
    if shelter.name.startswith(SHELTER):
        with suppress(OSError):
            (shelter / SOCKET).unlink(missing_ok=True)
            shelter.rmdir()


def _suits_a_socket(socket: Path) -> bool:
    """Whether a socket's path is short and of plain characters.

    Clients read the path back from CLIENT INFO, a line of words with equal signs, so a space in it breaks them.
    """
    path = str(socket)
    return len(os.fsencode(path)) <= LONGEST_SOCKET_PATH and re.fullmatch(r"[!-<>-~]+", path) is not None


def _claim(lock: int, state_dir: Path) -> None:
    """Take the folder's lock and leave our process number in it."""
    deadline = time.monotonic() + LOCK_PATIENCE_S
    while True:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            break
        except BlockingIOError:
            if time.monotonic() > deadline:
                holder = os.pread(lock, 20, 0).decode(errors="replace").strip() or "unknown"
                raise StartFailed(
                    f"Another Pourwright (process {holder}) runs on the state folder {state_dir}. Stop it, "
                    "or set POURWRIGHT_STATE_DIR to another folder."
                ) from None
            time.sleep(0.05)
    os.ftruncate(lock, 0)
    os.pwrite(lock, f"{os.getpid()}\n".encode(), 0)
