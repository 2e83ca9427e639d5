"""The image: what the compose file asks of it, and, in the proof, a real build and one bait made inside."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
from collections.abc import Callable

import pytest

from tests.requires import requires
from tests.stack import ROOT
from worker.settings import SETTINGS

DOCKER = ROOT / "docker"
COMPOSE = (DOCKER / "compose.yaml").read_text()


def test_every_setting_that_is_named_exists() -> None:
    named = set(re.findall(r"POURWRIGHT_[A-Z_]+", COMPOSE + (DOCKER / "Dockerfile").read_text()))
    assert named and named <= {setting.name for setting in SETTINGS}


def test_the_store_keeps_what_it_has_taken() -> None:
    for words in ('--appendonly, "yes"', "--appendfsync, always", "--maxmemory-policy, noeviction"):
        assert words in COMPOSE


@pytest.mark.parametrize("words", ["restart: always", "read_only: true", "no-new-privileges:true", "cap_drop: [ALL]"])
def test_ours_and_the_store_are_held_tight(words: str) -> None:
    assert COMPOSE.count(words) == 2  # the store's own, and the one that both of ours share


def test_no_port_leaves_the_machine() -> None:
    assert re.findall(r"ports: (.*)", COMPOSE) == ['["127.0.0.1:8080:8080"]']


def test_the_image_runs_as_nobody_in_particular() -> None:
    assert re.findall(r"^USER (.*)$", (DOCKER / "Dockerfile").read_text(), re.MULTILINE) == ["10001:10001"]


def test_entry_points_are_those_of_the_compose_file() -> None:
    entry = (DOCKER / "entry.sh").read_text()
    for name in re.findall(r"command: \[(\w+)\]", COMPOSE) + re.findall(r"pourwright, ([\w-]+)\]", COMPOSE):
        assert f"    {name}) " in entry
    refused = subprocess.run(["sh", str(DOCKER / "entry.sh"), "nonsense"], capture_output=True, text=True)
    assert refused.returncode == 2 and "nonsense" in refused.stderr


@pytest.mark.proof
@requires("image")
def test_an_image_is_built_and_makes_a_bait(proof_row: Callable[[str, object, object], None]) -> None:
    """With buildah, as root, over the base image that IMAGE_BASE names."""
    environ = os.environ | {
        "BASE": os.environ["IMAGE_BASE"],
        "STORAGE": "--storage-driver vfs",
        "BUILD_FLAGS": "--isolation chroot",
    }
    buildah = [shutil.which("buildah") or "buildah", "--storage-driver", "vfs"]
    subprocess.run(["sh", str(DOCKER / "build.sh"), "pourwright-proof"], env=environ, check=True, capture_output=True)
    made = subprocess.run([*buildah, "from", "pourwright-proof"], check=True, capture_output=True, text=True)
    container = made.stdout.strip()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    try:
        shared = f"{ROOT / 'tests' / 'docker'}:/proof:ro"
        run = [*buildah, "run", "--isolation", "chroot", "--volume", shared, container, "--"]
        ended = subprocess.run([*run, "sh", "/proof/inside.sh", str(port)], capture_output=True, text=True, timeout=300)
    finally:
        subprocess.run([*buildah, "rm", container], check=False, capture_output=True)
    lines = [*ended.stdout.splitlines(), "", "", ""]
    proof_row("image built by buildah; a craw made inside by an ordinary user", ", ".join(lines[:3]), "successful")
    assert ended.returncode == 0, ended.stdout + ended.stderr
    uid, code, bait = lines[:3]
    assert uid == "uid 10001" and code == "the code cannot be written to"
    status, files, length, triangles = bait.removeprefix("bait ").split()
    assert status == "successful" and int(files) == 6 and int(length) == 84 + 50 * int(triangles)
