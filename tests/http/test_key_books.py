"""Keys from their making to their end: the file that holds them, and the command that changes it."""

from __future__ import annotations

import json
import os
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from service.keys.__main__ import main
from service.keys.book import KeyBook, keys_file, read_keys
from service.keys.key import new_key
from service.keys.watched import WatchedKeys
from service.scopes import SCOPES, Scope
from tests.http.keys import NOW, key
from worker.settings import load


def book(tmp_path: Path) -> KeyBook:
    return KeyBook(tmp_path / "deep" / "keys.json")


def test_the_file_has_digests_and_is_its_owner_s_alone(tmp_path: Path) -> None:
    made, token = new_key("alder", [Scope.READ], "till", NOW, None)
    book(tmp_path).add(made)
    file = tmp_path / "deep" / "keys.json"
    assert token.split("_", 2)[2] not in file.read_text() and made.digest in file.read_text()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert read_keys(file) == {made.id: made}
    assert os.listdir(file.parent) == ["keys.json"]


def test_tokens_have_256_bits_of_chance_and_no_two_are_alike() -> None:
    tokens = {new_key("alder", SCOPES, "", NOW, None)[1] for _ in range(200)}
    # 32 bytes in base64 without padding are 43 characters (RFC 4648, 5)
    assert len(tokens) == 200 and {len(token.split("_", 2)[2]) for token in tokens} == {43}


def test_a_key_is_good_until_it_expires_or_is_revoked(tmp_path: Path) -> None:
    moment = [NOW]
    made, token = new_key("alder", [Scope.READ], "", NOW, NOW + timedelta(days=1))
    book(tmp_path).add(made)
    watched = WatchedKeys(tmp_path / "deep" / "keys.json", now=lambda: moment[0])
    assert watched.used() and watched.holder(token) == made
    moment[0] = NOW + timedelta(days=1)
    assert watched.holder(token) is None
    moment[0] = NOW
    assert watched.holder(token) == made
    book(tmp_path).revoke(made.id, NOW)
    assert watched.holder(token) is None and watched.used()


def test_a_change_is_seen_even_within_one_tick_of_the_file_s_clock(tmp_path: Path) -> None:
    file = tmp_path / "deep" / "keys.json"
    made, token = new_key("alder", [Scope.READ], "", NOW, None)
    book(tmp_path).add(made)
    watched = WatchedKeys(file)
    assert watched.holder(token) is not None
    same = file.stat()
    text = file.read_text().replace(made.digest, "0" * 64)
    file.write_text(text)  # the same inode and size
    os.utime(file, ns=(same.st_atime_ns, same.st_mtime_ns))
    assert watched.holder(token) is None


def test_a_link_to_the_keys_may_be_turned_to_others(tmp_path: Path) -> None:
    """As orchestrators hand out a file: a link to a link to the version of the day, and the old version removed."""
    keys, tokens = {}, {}
    for version in ("one", "two"):
        (tmp_path / version).mkdir()
        keys[version], tokens[version] = new_key(version, SCOPES, "", NOW, None)
        KeyBook(tmp_path / version / "keys.json").add(keys[version])
    (tmp_path / "now").symlink_to("one")
    (tmp_path / "keys.json").symlink_to("now/keys.json")
    watched = WatchedKeys(keys_file(load({"POURWRIGHT_KEYS_FILE": str(tmp_path / "keys.json")})))
    assert watched.holder(tokens["one"]) == keys["one"]
    (tmp_path / "next").symlink_to("two")
    (tmp_path / "next").rename(tmp_path / "now")
    (tmp_path / "one" / "keys.json").unlink()
    assert watched.holder(tokens["two"]) == keys["two"]
    assert watched.holder(tokens["one"]) is None


def test_a_file_of_keys_may_lie_elsewhere(tmp_path: Path) -> None:
    elsewhere = tmp_path / "handed out" / "keys.json"
    settings = load({"POURWRIGHT_KEYS_FILE": str(elsewhere)})
    key(settings)
    assert json.loads(elsewhere.read_text())["keys"][0]["caller"] == "alder"


# The command


def command(*words: str) -> int:
    return main(list(words))


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("POURWRIGHT_STATE_DIR", str(tmp_path / "state"))
    monkeypatch.delenv("POURWRIGHT_KEYS_FILE", raising=False)
    return tmp_path / "state" / "keys.json"


def test_the_command_makes_lists_and_revokes(state: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command("list") == 0 and "There are no keys" in capsys.readouterr().out
    assert command("make", "--caller", "alder", "--expires", "90d", "--label", "the till") == 0
    said = capsys.readouterr()
    token = said.out.strip()  # alone on standard output
    assert token.startswith("pourwright_") and token not in said.err and "shown once" in said.err
    key_id = token.split("_")[1]
    (kept,) = (read_keys(state) or {}).values()
    assert (kept.id, kept.caller, set(kept.scopes)) == (key_id, "alder", {"read", "build"})
    assert command("list") == 0
    listed = capsys.readouterr().out
    assert key_id in listed and "the till" in listed and "active" in listed
    assert token not in listed and kept.digest not in listed
    assert command("revoke", key_id) == 0 and command("revoke", key_id) == 0
    assert command("list") == 0 and "revoked" in capsys.readouterr().out
    assert command("revoke", "0" * 12) == 1 and "no key" in capsys.readouterr().err


@pytest.mark.parametrize(
    "words",
    [
        ("--caller", "A Shop"),
        ("--caller", "../x"),
        ("--caller", "alder", "--expires", "2020-01-01"),
        ("--caller", "alder", "--expires", "soon"),
        ("--caller", "alder", "--expires", "99999d"),
        ("--caller", "alder", "--label", "a\nb"),
    ],
)
def test_the_command_says_what_it_cannot_make(
    state: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert command("make", *words) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err.startswith("No key was made: ") and not state.exists()


def test_a_last_day_counts_to_its_end(state: Path) -> None:
    command("make", "--caller", "alder", "--expires", "2999-12-31", "--scopes", "read, admin")
    (kept,) = (read_keys(state) or {}).values()
    assert kept.expires == datetime(3000, 1, 1, tzinfo=UTC) and kept.scopes == {Scope.READ, Scope.ADMIN}
