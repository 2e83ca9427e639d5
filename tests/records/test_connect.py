"""A store that is away, deaf, full or forgetful is said to be so."""

from __future__ import annotations

import socket
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.stack import Stack, please
from worker.errors import SettingsInvalid, StoreUnavailable
from worker.records.baits import Baits
from worker.records.connect import check_durable, for_steward
from worker.settings import Settings, load

REQUEST = please("nothing")


def settings_for(url: str) -> Settings:
    return load({"POURWRIGHT_STORE_URL": url, "POURWRIGHT_STATE_DIR": tempfile.gettempdir()})


@pytest.fixture
def deaf_url() -> Iterator[str]:
    """A server that takes connections and never answers."""
    with tempfile.TemporaryDirectory(prefix="pw-") as folder, socket.socket(socket.AF_UNIX) as listening:
        listening.bind(f"{folder}/s")
        listening.listen(64)
        yield f"unix://{folder}/s"


def refuses_everything(baits: Baits) -> None:
    for call in (
        lambda: baits.submit("local", REQUEST),
        lambda: baits.view("local", REQUEST.id),
        lambda: baits.wait("local", REQUEST.id, 5),
        lambda: baits.dismiss("local", REQUEST.id),
        lambda: baits.delete("local", REQUEST.id),
    ):
        with pytest.raises(StoreUnavailable) as away:
            call()
        assert away.value.retry_after_s > 0


def test_a_store_that_is_not_there() -> None:
    refuses_everything(Baits.open(settings_for("unix:///nonexistent/store")))


def test_a_port_where_nobody_listens() -> None:
    with socket.socket() as unused:
        unused.bind(("127.0.0.1", 0))
        refuses_everything(Baits.open(settings_for(f"redis://127.0.0.1:{unused.getsockname()[1]}")))


def test_a_store_that_never_answers(deaf_url: str) -> None:
    refuses_everything(Baits.open(settings_for(deaf_url)))


def test_a_store_that_is_full(records: Stack) -> None:
    records.connection.config_set("maxmemory", "1")
    try:
        with pytest.raises(StoreUnavailable):
            records.baits.submit("local", REQUEST)
    finally:
        records.connection.config_set("maxmemory", "0")
    assert records.baits.submit("local", REQUEST).created


def test_without_a_store_there_is_nothing_to_connect_to() -> None:
    with pytest.raises(SettingsInvalid, match="POURWRIGHT_STORE_URL"):
        Baits.open(load({}))


def test_our_own_store_keeps_every_promise(records: Stack) -> None:
    assert check_durable(for_steward(records.settings)) == []


@pytest.mark.parametrize(
    ("option", "weak", "sound"),
    [("appendonly", "no", "yes"), ("maxmemory-policy", "allkeys-lru", "noeviction")],
)
def test_a_store_that_may_lose_baits_is_refused(records: Stack, option: str, weak: str, sound: str) -> None:
    records.connection.config_set(option, weak)
    try:
        with pytest.raises(SettingsInvalid, match="POURWRIGHT_STORE_URL"):
            check_durable(for_steward(records.settings))
    finally:
        records.connection.config_set(option, sound)


def test_a_store_that_may_lose_a_second_is_told_of(records: Stack) -> None:
    records.connection.config_set("appendfsync", "everysec")
    try:
        assert "everysec" in check_durable(for_steward(records.settings))[0]
    finally:
        records.connection.config_set("appendfsync", "always")


def test_a_fault_of_ours_is_not_called_an_absent_store(records: Stack) -> None:
    from redis.exceptions import ResponseError

    records.connection.set(f"pourwright:bait:local:{REQUEST.id}", "no hash")
    with pytest.raises(ResponseError):
        records.baits.view("local", REQUEST.id)


def test_a_state_folder_path_is_made_absolute(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert load({"POURWRIGHT_STATE_DIR": "here"}).state_dir == tmp_path / "here"
