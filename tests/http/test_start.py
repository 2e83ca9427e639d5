"""What stands in the way of a start, told in sentences before anything is bound, by the server and by the check."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from service.keys.guard import hosts_of, is_loopback, require_keys
from service.places import require_start
from service.stack.serve import main as serve
from tests.http.keys import key
from tests.stack import ROOT
from worker.errors import SettingsInvalid
from worker.settings import load

METRICS = {"POURWRIGHT_METRICS_PORT": "18998"}


def refused(tmp_path: Path, **environ: str) -> dict[str, str]:
    """Each fault's pointer, and what it says."""
    given = {"POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_PORT": "0", **environ}
    with pytest.raises(SettingsInvalid) as raised:
        require_start(load(given), given)
    return {fault.pointer: fault.detail for fault in raised.value.faults}


def test_a_host_of_another_machine_or_of_none_is_told(tmp_path: Path) -> None:
    # 192.0.2.0/24 is for documentation and no machine's (RFC 5737), .invalid is no name's end (RFC 6761)
    for host in ("192.0.2.1", "no-such-host.invalid", "a..b"):
        told = refused(tmp_path, **METRICS, POURWRIGHT_METRICS_HOST=host)
        assert list(told) == ["/POURWRIGHT_METRICS_HOST"] and host in told["/POURWRIGHT_METRICS_HOST"]
    assert "/POURWRIGHT_HOST" in refused(tmp_path, POURWRIGHT_HOST="192.0.2.1")


def test_metrics_need_another_port_and_a_folder_that_can_be_written_to(tmp_path: Path) -> None:
    told = refused(
        tmp_path,
        POURWRIGHT_PORT="18998",
        POURWRIGHT_METRICS_PORT="18998",
        POURWRIGHT_METRICS_HOST="127.0.0.2",  # which of the two is asked is told by the port alone
        PROMETHEUS_MULTIPROC_DIR=str(tmp_path / "nowhere"),
    )
    assert list(told) == ["/POURWRIGHT_METRICS_PORT", "/PROMETHEUS_MULTIPROC_DIR"]
    assert "nowhere" in told["/PROMETHEUS_MULTIPROC_DIR"]
    # Without metrics nobody counts
    require_start(load({"POURWRIGHT_STATE_DIR": str(tmp_path)}), {"PROMETHEUS_MULTIPROC_DIR": "/nowhere"})


def test_a_port_that_is_in_use_passes(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = str(other.getsockname()[1])
        require_start(load({"POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_PORT": port}))


def test_the_server_says_so_without_a_traceback(tmp_path: Path) -> None:
    wrong = {**METRICS, "POURWRIGHT_PORT": "0", "PROMETHEUS_MULTIPROC_DIR": str(tmp_path / "nowhere")}
    command = [sys.executable, "-m", "gunicorn", "-c", "service/gunicorn_conf.py", "service.wsgi:app"]
    environ = os.environ | {"POURWRIGHT_STATE_DIR": str(tmp_path)} | wrong
    done = subprocess.run(command, cwd=ROOT, env=environ, capture_output=True, text=True, timeout=60)
    assert done.returncode != 0
    assert done.stderr.startswith("The settings cannot be used: PROMETHEUS_MULTIPROC_DIR: ")
    assert done.stderr.count("\n") == 1


def test_the_check_of_the_settings_says_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    given = {"POURWRIGHT_STATE_DIR": str(tmp_path), "PROMETHEUS_MULTIPROC_DIR": str(tmp_path / "nowhere")}
    for name, value in {**METRICS, **given, "POURWRIGHT_PORT": "18998"}.items():
        monkeypatch.setenv(name, value)
    assert serve(["--check-config"]) == 1
    said = capsys.readouterr().err.splitlines()
    assert [line.partition(":")[0] for line in said] == ["/POURWRIGHT_METRICS_PORT", "/PROMETHEUS_MULTIPROC_DIR"]


# Keys


@pytest.mark.parametrize(
    ("host", "loopback"),
    [
        ("127.0.0.1", True),
        ("127.8.9.10", True),
        ("::1", True),
        ("::ffff:127.0.0.1", True),
        ("localhost", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.1.2", False),
        ("::ffff:192.0.2.1", False),
        ("no-such-host.invalid", False),
    ],
)
def test_without_keys_it_starts_on_loopback_alone(tmp_path: Path, host: str, loopback: bool) -> None:
    assert is_loopback(host) is loopback
    settings = load({"POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_HOST": host})
    if loopback:
        require_keys(settings)
    else:
        with pytest.raises(SettingsInvalid, match="there are no keys"):
            require_keys(settings)
        key(settings)
        require_keys(settings)


def test_places_that_are_listened_on_are_looked_at_whatever_the_settings_say(tmp_path: Path) -> None:
    settings = load({"POURWRIGHT_STATE_DIR": str(tmp_path)})
    with socket.socket() as everywhere, socket.socket(socket.AF_UNIX) as here:
        everywhere.bind(("0.0.0.0", 0))
        here.bind(str(tmp_path / "s"))
        require_keys(settings, hosts_of([here]))
        with pytest.raises(SettingsInvalid, match=r"0\.0\.0\.0 can be reached"):
            require_keys(settings, hosts_of([here, everywhere]))


def test_check_config_says_beforehand_that_it_would_not_start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("POURWRIGHT_HOST", "0.0.0.0")
    monkeypatch.setenv("POURWRIGHT_STATE_DIR", str(tmp_path))
    assert serve(["--check-config"]) == 1
    assert capsys.readouterr().err.startswith("/POURWRIGHT_HOST: 0.0.0.0 can be reached from other machines")
    key(load())
    assert serve(["--check-config"]) == 0
