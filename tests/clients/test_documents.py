"""What the documents show is run: every call, every request and every block of code, against the running service."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.clients.documents import Block, blocks
from tests.clients.programs import WEAK, folder_of
from tests.http.running import Service
from tests.requires import requires
from tests.stack import ROOT, eventually

CLIENTS = ROOT / "openapi" / "clients"
README = ROOT / "README.md"
LOCAL = re.compile(r"(localhost|127\.0\.0\.1):8080")


def of(path: Path, language: str, begins: str = "") -> list[Block]:
    return [one for one in blocks(path) if one.language == language and one.text.startswith(begins)]


def test_what_the_python_client_s_readme_shows(address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    found = of(CLIENTS / "python" / "README.md", "python")
    names: dict[str, object] = {}
    for block in found:
        code = LOCAL.sub(address.removeprefix("http://"), block.text)
        exec(compile("\n" * block.line + code, "README.md", "exec"), names)
    assert len(found) == 7
    assert {path.name for path in (tmp_path / "out" / "alderbank").iterdir()} >= {"bait.stl", "thumbnail.png"}
    assert (tmp_path / "out" / "spring.zip").exists()
    received = names["received"]
    assert callable(received) and received({}, b"{}") == 400
    names["pourwright"].webhooks.forget("till")  # type: ignore[attr-defined]


def test_what_its_readme_shows_of_the_gate(address: str, tmp_path: Path) -> None:
    weak = {key: value for key, value in WEAK.items() if key != "outputs"}
    folder_of(tmp_path / "bodies", creek=weak)
    (shell,) = of(CLIENTS / "python" / "README.md", "sh")
    (shown,) = of(CLIENTS / "python" / "README.md", "", "bodies/")
    environ = {**os.environ, "PYTHONPATH": str(CLIENTS / "python"), "POURWRIGHT_URL": address}
    environ["PATH"] = f"{Path(sys.executable).parent}{os.pathsep}{environ['PATH']}"
    ended = subprocess.run(["sh", "-c", shell.text], cwd=tmp_path, env=environ, capture_output=True, text=True)
    assert ended.returncode == 1 and ended.stdout.startswith(shown.text), ended.stdout + ended.stderr


@requires("curl")
def test_every_curl_line_of_the_readme_is_answered(running: Service, tmp_path: Path) -> None:
    """In their order, in one folder: what one is answered is what the next asks about (`$ID`)."""
    beads = [{"style": "beaded_worm", "params": {"bead_count": beads}, "outputs": []} for beads in (14, 15)]
    (tmp_path / "range.ndjson").write_text("\n".join(map(json.dumps, beads)))
    (tmp_path / "demo_requests").symlink_to(ROOT / "demo_requests")
    environ = {**os.environ, "no_proxy": "localhost", "ID": "", "KEY": "none is needed where there are none"}
    shown = [one for one in blocks(README) if "curl " in one.text]
    assert len(shown) >= 7
    for block in shown:
        for command in re.split(r"^(?=curl )", block.text, flags=re.MULTILINE):
            if not command.startswith("curl "):
                continue
            command = LOCAL.sub(f"localhost:{running.port}", command).replace("curl -s", "curl", 1)
            if command.rstrip().endswith("/archive"):
                place = f"/v1/batches/{environ['ID']}"
                eventually(lambda place=place: running.call("GET", place).json["finished"], 60)
            ended = subprocess.run(
                ["sh", "-c", command.replace("curl", "curl --silent --show-error --fail-with-body", 1)],
                cwd=tmp_path,
                env=environ,
                capture_output=True,
                text=True,
                timeout=120,
            )
            assert ended.returncode == 0, f"README.md:{block.line}: {command}{ended.stdout}{ended.stderr}"
            told = json.loads(ended.stdout) if ended.stdout.startswith("{") else {}
            environ["ID"] = told.get("id", environ["ID"])
    assert (tmp_path / "range.zip").read_bytes().startswith(b"PK")
    running.call("DELETE", "/v1/webhooks/till")
    running.call("DELETE", "/v1/plastics/ours")


def test_every_request_of_the_readme_is_one(running: Service) -> None:
    shown = of(README, "", '{"style"')
    assert len(shown) >= 3
    for block in shown:
        answer = running.call("POST", "/v1/estimates", json.loads(block.text))
        assert answer.status == 200, f"README.md:{block.line}: {answer.data.decode()}"


def test_every_make_target_of_the_readme_is_there() -> None:
    targets = {word for block in blocks(README) for word in re.findall(r"^make (\w+)", block.text, re.MULTILINE)}
    made = set(re.findall(r"^(\w+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    assert len(targets) >= 4 and targets <= made
