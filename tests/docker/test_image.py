"""The image: what the compose file asks of it, and, in the proof, a real build and one bait made inside."""

from __future__ import annotations

import hashlib
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from service.prefer import LONGEST_WAIT_S
from tests.requires import requires
from tests.stack import ROOT
from worker.settings import SETTINGS, load

DOCKER = ROOT / "docker"
DOCKERFILE = (DOCKER / "Dockerfile").read_text()
COMPOSE_TEXT = (DOCKER / "compose.yaml").read_text()
COMPOSE: dict[str, Any] = yaml.safe_load(COMPOSE_TEXT)
SERVICES: dict[str, Any] = COMPOSE["services"]
OURS = ("service", "worker", "courier")


def seconds(text: str) -> float:
    """A duration of the compose file, which are all in seconds here."""
    assert text.endswith("s")
    return float(text.removesuffix("s"))


def test_every_setting_that_is_named_exists() -> None:
    named = set(re.findall(r"POURWRIGHT_[A-Z_]+", COMPOSE_TEXT + DOCKERFILE))
    assert {"POURWRIGHT_STORE_URL", "POURWRIGHT_STATE_DIR"} <= named <= {setting.name for setting in SETTINGS}


def test_what_the_image_and_the_compose_file_set_can_be_loaded() -> None:
    image = dict(re.findall(r"(POURWRIGHT_[A-Z_]+)=(\S+)", DOCKERFILE))
    for name in OURS:
        settings = load(image | SERVICES[name]["environment"])
        assert settings.store_url == "redis://store:6379/0" and str(settings.state_dir) == "/state"
        assert (settings.host, settings.port) == ("0.0.0.0", 8080)


def test_the_example_with_a_bucket_names_settings_that_exist_for_all_who_need_it() -> None:
    example = yaml.safe_load((DOCKER / "compose.bucket.yaml").read_text())["services"]
    assert set(example) == {"service", "worker"} <= set(SERVICES)
    for one in example.values():
        assert set(one["environment"]) <= {setting.name for setting in SETTINGS}
        assert "POURWRIGHT_ARTIFACTS" in one["environment"]
        given = dict.fromkeys(one["environment"], "") | {"POURWRIGHT_ARTIFACTS": "s3://baits"}
        assert load(given).artifacts == "s3://baits"


def test_there_are_a_store_a_service_and_a_worker_and_they_come_back() -> None:
    assert set(SERVICES) == {"store", *OURS}
    assert {SERVICES[name]["restart"] for name in SERVICES} == {"always"}
    assert all(SERVICES[name]["depends_on"] == {"store": {"condition": "service_healthy"}} for name in OURS)


def test_the_store_keeps_what_it_has_taken() -> None:
    words = SERVICES["store"]["command"]
    options = dict(zip(words[1::2], words[2::2], strict=True))
    assert options["--appendonly"] == "yes" and options["--appendfsync"] == "always"
    assert options["--maxmemory-policy"] == "noeviction"
    assert SERVICES["store"]["volumes"] == ["store:/data"] and "store" in COMPOSE["volumes"]


def test_finished_baits_outlive_both_of_ours_and_the_courier_does_not_see_them() -> None:
    kept = {name: SERVICES[name]["volumes"] for name in OURS}
    assert kept == {"service": ["state:/state"], "worker": ["state:/state"], "courier": []}
    assert "state" in COMPOSE["volumes"]
    # The image makes a volume of its own where nothing is mounted
    assert "VOLUME /state" in DOCKERFILE and "/state" in SERVICES["courier"]["tmpfs"]


@pytest.mark.parametrize("name", SERVICES)
def test_none_may_more_than_it_needs(name: str) -> None:
    held = SERVICES[name]
    assert held["read_only"] is True and held["cap_drop"] == ["ALL"] and "cap_add" not in held
    assert held["security_opt"] == ["no-new-privileges:true"] and not held.get("privileged")
    user = held.get("user") or re.findall(r"^USER (.*)$", DOCKERFILE, re.MULTILINE)[-1]
    assert int(user.split(":")[0]) > 0


def test_no_port_leaves_the_machine() -> None:
    published = {name: SERVICES[name]["ports"] for name in SERVICES if "ports" in SERVICES[name]}
    assert published == {"service": ["127.0.0.1:8080:8080"]}


def test_each_has_its_own_time_to_stop() -> None:
    """Longer than the longest wait of a request, and than the longest build with the two seconds until it is killed."""
    assert {SERVICES[name]["stop_signal"] for name in SERVICES} == {"SIGTERM"}
    assert seconds(SERVICES["service"]["stop_grace_period"]) > LONGEST_WAIT_S + 5
    assert seconds(SERVICES["worker"]["stop_grace_period"]) > load({}).job_limit_s + 2
    assert seconds(SERVICES["store"]["stop_grace_period"]) > 0


def test_each_is_asked_how_it_is_and_entry_points_are_those_of_the_image() -> None:
    entry = (DOCKER / "entry.sh").read_text()
    assert SERVICES["store"]["healthcheck"]["test"] == ["CMD", "valkey-cli", "ping"]
    for name in OURS:
        assert SERVICES[name]["command"] == [name]
        assert SERVICES[name]["healthcheck"]["test"] == ["CMD", "pourwright", f"{name}-health"]
        assert f"    {name}) " in entry and f"    {name}-health) " in entry
    refused = subprocess.run(["sh", str(DOCKER / "entry.sh"), "nonsense"], capture_output=True, text=True)
    assert refused.returncode == 2 and "nonsense" in refused.stderr


def test_the_image_makes_keys_and_tells_its_settings(tmp_path: Path) -> None:
    here = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    environ = os.environ | {"PATH": here, "POURWRIGHT_STATE_DIR": str(tmp_path), "POURWRIGHT_HOST": "0.0.0.0"}

    def said(*words: str) -> subprocess.CompletedProcess[str]:
        command = ["sh", str(DOCKER / "entry.sh"), *words]
        return subprocess.run(command, env=environ, cwd=ROOT, capture_output=True, text=True)

    assert said("check-config").returncode == 1
    assert said("keys", "make", "--caller", "alder", "--label", "two words").stdout.startswith("pourwright_")
    assert "two words" in said("keys", "list").stdout
    assert said("check-config").returncode == 0


def test_the_image_takes_what_the_lock_names_and_nothing_else() -> None:
    installs = re.findall(r"pip install(.*?requirements?\S*)", DOCKERFILE.replace("\\\n", " "))
    assert len(installs) == 1 and "--require-hashes" in installs[0] and "--only-binary=:all:" in installs[0]


def test_what_the_image_copies_is_let_into_the_build() -> None:
    """.dockerignore leaves out everything, then takes back what is copied."""
    first, *rest = (ROOT / ".dockerignore").read_text().split()
    copied = re.findall(r"^COPY (?:--chmod=\S+ )?([^-\s]\S*) \S+$", DOCKERFILE, re.MULTILINE)
    assert first == "*" and {f"!{name}" for name in copied} == {line for line in rest if line.startswith("!")}
    assert all((ROOT / name).exists() for name in copied)


@pytest.mark.proof
@requires("image")
def test_an_image_is_built_and_makes_a_bait(proof_row: Callable[[str, object, object], None]) -> None:
    """With a Docker engine, or with buildah, as root, over the base image that IMAGE_BASE names."""
    from worker.build import build
    from worker.request import read_request

    environ = os.environ | {"BASE": os.environ.get("IMAGE_BASE", "")}
    if subprocess.run(["sh", "-c", "docker info"], capture_output=True, check=False).returncode != 0:
        environ |= {"STORAGE": "--storage-driver vfs", "BUILD_FLAGS": "--isolation chroot"}
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = min(free.getsockname()[1], 65000)
    began = time.monotonic()
    script([str(DOCKER / "build.sh"), "pourwright-proof"], environ)
    took_s = time.monotonic() - began
    said = script([str(ROOT / "tests" / "docker" / "run_image.sh"), "pourwright-proof", str(port)], environ)
    lines = [line.split(" ", 1) for line in said.splitlines()]
    told: dict[str, list[str]] = {kind: [] for kind, _ in lines}
    for kind, what in lines:
        told[kind].append(what)

    # The same bytes as here, on another system and perhaps another Python.
    here = read_request({"style": "craw"})
    files = {name: hashlib.sha256(content).hexdigest() for name, content in build(here).files.items()}
    there = dict(line.split() for line in told["file"])
    same = sum(there.get(name) == digest for name, digest in files.items())
    figure = f"{told['bait'][0].split()[0]}, {same} of {len(files)} files the same as here, built in {took_s:.0f} s"
    wanted = f"successful, {len(files)} of {len(files)}"
    proof_row(f"image: a craw made inside by user {told['uid'][0]} over a read-only root", figure, wanted)
    assert told["uid"] == ["10001"] and told["writable"] == ["/tmp", "/state"]
    assert told["rights"] == ["CapEff=0000000000000000 CapBnd=0000000000000000 NoNewPrivs=1 "]
    assert told["bait"] == [f"successful {here.id}"] and there == files
    assert told["stopped"] == ["service", "worker", "store"]


def script(command: list[str], environ: dict[str, str]) -> str:
    """What a shell script prints; fails with all that it said where it does not end well."""
    ended = subprocess.run(["sh", *command], env=environ, capture_output=True, text=True, timeout=1200)
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout
