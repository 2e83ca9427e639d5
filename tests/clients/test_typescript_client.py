"""The TypeScript client: its own tests in node, against the running service, and what its README shows."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from tests.clients.documents import blocks
from tests.http.running import Service
from tests.requires import requires
from tests.stack import ROOT

pytestmark = requires("node20")
CLIENT = ROOT / "openapi" / "clients" / "typescript"


def node(*arguments: object, folder: Path = CLIENT, **environ: str) -> subprocess.CompletedProcess[str]:
    command = ["node", *map(str, arguments)]
    return subprocess.run(command, cwd=folder, env=os.environ | environ, capture_output=True, text=True, timeout=120)


@pytest.mark.parametrize("name", sorted(path.name for path in (CLIENT / "test").glob("*.test.mjs")))
def test_in_node(name: str, request: pytest.FixtureRequest) -> None:
    environ = {}
    if name == "running.test.mjs":
        environ["POURWRIGHT_URL"] = request.getfixturevalue("address")
        environ["POURWRIGHT_TILL"] = request.getfixturevalue("other_till")
    ended = node("--test-reporter=tap", CLIENT / "test" / name, **environ)
    assert ended.returncode == 0 and "# skipped 0" in ended.stdout, ended.stdout + ended.stderr


def test_what_its_readme_shows(running: Service, address: str, tmp_path: Path) -> None:
    shown = [block.text for block in blocks(CLIENT / "README.md") if block.language == "js"]
    assert len(shown) == 5
    program = "\n".join(shown).replace("http://127.0.0.1:8080", address)
    program = program.replace('"pourwright-client"', f'"{(CLIENT / "dist" / "index.js").as_uri()}"')
    program += (
        '\nif ((await received({}, "{}")) !== 400) throw new Error("taken");\nawait pourwright.webhooks.forget("till");'
    )
    (tmp_path / "shown.mjs").write_text(program)
    ended = node("shown.mjs", folder=tmp_path)
    assert ended.returncode == 0, ended.stdout + ended.stderr
    assert "hold 3." in ended.stdout and "/params/core_diameter" in ended.stdout
    assert (tmp_path / "spring.zip").read_bytes().startswith(b"PK")
