"""Settings: read strictly, refused all at once, in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from worker.errors import SettingsInvalid
from worker.settings import SETTINGS, load, main, table


def test_an_empty_environment_gives_the_defaults() -> None:
    settings = load({})
    assert (settings.host, settings.port) == ("127.0.0.1", 8080)
    assert settings.store_url is None
    assert settings.workers >= 1
    assert settings.state_dir == Path("state").resolve()


def test_an_empty_variable_counts_as_unset() -> None:
    assert load({"POURWRIGHT_PORT": "", "POURWRIGHT_STORE_URL": " "}) == load({})


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("PORT", "65536"),
        ("PORT", "-1"),
        ("PORT", "80a"),
        ("PORT", "8_080"),
        ("PORT", "8080.0"),
        ("PORT", "٨٠٨٠"),
        ("WORKERS", "0"),
        ("JOB_LIMIT_S", "1e2"),
        ("JOB_MEMORY_MIB", "9" * 30),
        ("HOST", "http://127.0.0.1"),
        ("STORE_URL", "http://127.0.0.1:6379"),
        ("STORE_URL", "redis://"),
        ("STORE_URL", "redis://host:99999"),
        ("STORE_URL", "unix:"),
        ("LOG_LEVEL", "loud"),
        ("STATE_DIR", __file__),
    ],
)
def test_a_wrong_value_is_named_with_what_is_allowed(name: str, text: str) -> None:
    with pytest.raises(SettingsInvalid) as refused:
        load({f"POURWRIGHT_{name}": text})
    allowed = next(one.allowed for one in SETTINGS if one.name == f"POURWRIGHT_{name}")
    assert refused.value.detail.startswith(f"POURWRIGHT_{name}: ")
    assert allowed in refused.value.detail


def test_every_wrong_value_is_named_at_once() -> None:
    with pytest.raises(SettingsInvalid) as refused:
        load({"POURWRIGHT_PORT": "x", "POURWRIGHT_WORKERS": "many", "POURWRIGHT_LOG_LEVEL": "loud"})
    for name in ("PORT", "WORKERS", "LOG_LEVEL"):
        assert f"POURWRIGHT_{name}: " in refused.value.detail


def test_waiters_must_leave_threads_free() -> None:
    with pytest.raises(SettingsInvalid, match="POURWRIGHT_WAITERS: 8 is not fewer than POURWRIGHT_WEB_THREADS"):
        load({"POURWRIGHT_WAITERS": "8", "POURWRIGHT_WEB_THREADS": "8"})


def test_a_password_is_never_repeated() -> None:
    with pytest.raises(SettingsInvalid) as refused:
        load({"POURWRIGHT_STORE_URL": "rediss://user:hunter2@:6379"})
    assert "hunter2" not in refused.value.detail


def test_a_host_of_its_own_is_taken() -> None:
    for host in ("0.0.0.0", "::1", "bench.example"):
        assert load({"POURWRIGHT_HOST": host}).host == host


def test_the_table_names_every_setting_and_no_value_of_this_machine() -> None:
    text = table()
    for setting in SETTINGS:
        assert f"`{setting.name}`" in text
        assert setting.meaning in text
    assert str(Path.cwd()) not in text


def test_check_says_what_is_wrong_and_fails(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("POURWRIGHT_PORT", "eighty")
    assert main(["--check"]) == 1
    assert "POURWRIGHT_PORT: 'eighty' is not a whole number from 0 to 65535" in capsys.readouterr().err
    monkeypatch.setenv("POURWRIGHT_PORT", "80")
    assert main(["--check"]) == 0
