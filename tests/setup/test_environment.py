"""The environment is built once, built anew when it no longer fits, and falls back where Python lacks ensurepip."""

from __future__ import annotations

import importlib
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.setup.fakes import ROOT, shell

# Debian's python3 without python3-venv: `-m venv` fails, and the same without pip in it works.
WITHOUT_ENSUREPIP = [
    'case "$*" in',
    '  *"-m venv --without-pip"*) ;;',
    '  *"-m venv"*) echo "ensurepip is not available" >&2; exit 1 ;;',
    "esac",
]
# The builder, but with an interpreter that we name.
BUILD = "import sys; sys.path.insert(0, 'setup'); import environment as e; from pathlib import Path\n"
BUILD += "try: e.Environment(Path.cwd(), sys.argv[1]).bring_to(sys.argv[2:])\n"
BUILD += "except e.SetupFailed as failure: sys.exit(str(failure))\n"


class Checkout:
    """A checkout whose locks ask for nothing, so that no index is needed."""

    def __init__(self, folder: Path, *pretence: str) -> None:
        self.folder = folder / "check out"
        shutil.copytree(ROOT / "setup", self.folder / "setup", ignore=shutil.ignore_patterns("__pycache__"))
        (self.folder / "requirements").mkdir()
        for layer in ("run", "dev", "kernel", "tools", "bucket"):
            self.lock(layer).write_text(f"# {layer}\n")
        self.python = shell(folder / "python", *pretence, f'exec {shlex.quote(sys.executable)} "$@"')

    def lock(self, layer: str) -> Path:
        return self.folder / "requirements" / f"{layer}.lock"

    def build(self, *layers: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-c", BUILD, str(self.python), *layers],
            cwd=self.folder,
            capture_output=True,
            text=True,
        )

    def built(self, *layers: str) -> list[str]:
        """Builds, and returns which locks were installed."""
        done = self.build(*layers)
        assert done.returncode == 0, done.stdout + done.stderr
        assert (self.folder / ".venv" / "bin" / "python").exists()
        return [line.split()[1] for line in done.stdout.splitlines() if line.startswith("Installing")]

    @property
    def mark(self) -> Path:
        """A file that is gone once the environment is built anew."""
        return self.folder / ".venv" / "mark"


@pytest.fixture
def checkout(tmp_path: Path) -> Checkout:
    return Checkout(tmp_path, *WITHOUT_ENSUREPIP)


def test_built_once_then_left_alone_then_added_to(checkout: Checkout) -> None:
    assert checkout.built("run") == ["requirements/run.lock"]
    checkout.mark.touch()
    assert checkout.built("run") == []
    assert checkout.built("run", "dev") == ["requirements/dev.lock"]
    assert checkout.built("run") == []
    assert checkout.mark.exists()


def test_another_lock_builds_it_anew(checkout: Checkout) -> None:
    checkout.built("run", "dev")
    checkout.mark.touch()
    checkout.lock("dev").write_text("# another\n")
    assert checkout.built("run") == ["requirements/run.lock"]
    assert not checkout.mark.exists()


def test_another_folder_or_interpreter_makes_it_stale(checkout: Checkout, monkeypatch: pytest.MonkeyPatch) -> None:
    checkout.built("run")
    monkeypatch.syspath_prepend(str(ROOT / "setup"))
    environment = importlib.import_module("environment").Environment

    def is_stale(folder: Path, interpreter: Path) -> bool:
        stale = environment(folder, str(interpreter)).is_stale()
        assert isinstance(stale, bool)
        return stale

    assert not is_stale(checkout.folder, checkout.python)
    assert is_stale(checkout.folder, checkout.python.with_name("python-too"))
    moved = checkout.folder.rename(checkout.folder.with_name("moved"))
    assert is_stale(moved, checkout.python)


def test_an_installation_that_was_cut_short_is_no_environment(checkout: Checkout) -> None:
    checkout.lock("run").write_text("nothing-of-this-name==1 --hash=sha256:" + 64 * "0" + "\n")
    done = subprocess.run(
        [sys.executable, "-c", BUILD, str(checkout.python), "run"],
        cwd=checkout.folder,
        capture_output=True,
        text=True,
        env={"PATH": "/usr/bin:/bin", "PIP_NO_INDEX": "1", "PIP_CONFIG_FILE": "/dev/null"},
    )
    assert done.returncode == 1
    assert "pip could not install requirements/run.lock" in done.stderr and "Traceback" not in done.stderr
    checkout.mark.touch()
    checkout.lock("run").write_text("# run\n")
    assert checkout.built("run") == ["requirements/run.lock"]
    assert not checkout.mark.exists()


def test_without_ensurepip_and_pip_it_stops_and_names_the_package(tmp_path: Path) -> None:
    without_pip = [*WITHOUT_ENSUREPIP, 'case "$*" in *"-m pip"*) exit 1 ;; esac']
    checkout = Checkout(tmp_path, *without_pip)
    done = checkout.build("run")
    assert done.returncode == 1
    assert "ensurepip is not available" in done.stderr and "apt-get install python3-venv" in done.stderr
    assert not (checkout.folder / ".venv").exists()


def test_with_ensurepip_the_environment_has_its_own_pip(tmp_path: Path) -> None:
    checkout = Checkout(tmp_path)
    checkout.built("run")
    own = checkout.folder / ".venv" / "bin" / "python"
    assert subprocess.run([str(own), "-m", "pip", "--version"], capture_output=True).returncode == 0


def test_the_server_for_tests_of_buckets_has_an_environment_of_its_own(tmp_path: Path) -> None:
    checkout = Checkout(tmp_path)
    command = [sys.executable, "setup/environment.py", "bucket"]
    done = subprocess.run(command, cwd=checkout.folder, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "requirements/bucket.lock into .venv-bucket" in done.stdout
    assert (checkout.folder / ".venv-bucket" / "bin" / "python").exists()
    assert not (checkout.folder / ".venv").exists()


@pytest.mark.parametrize(
    ("system", "machine", "libc", "refused"),
    [
        ("Linux", "x86_64", ("glibc", "2.28"), None),
        ("Linux", "aarch64", ("glibc", "2.41"), None),
        ("Darwin", "arm64", ("", ""), None),
        ("Linux", "x86_64", ("glibc", "2.27"), "this Linux has glibc 2.27"),
        ("Linux", "x86_64", ("", ""), "this Linux has another C library"),
        ("Linux", "riscv64", ("glibc", "2.41"), "this is Linux on riscv64"),
        ("Windows", "AMD64", ("", ""), "this is Windows on AMD64"),
    ],
)
def test_machines(
    monkeypatch: pytest.MonkeyPatch, system: str, machine: str, libc: tuple[str, str], refused: str | None
) -> None:
    monkeypatch.syspath_prepend(str(ROOT / "setup"))
    reason = importlib.import_module("platforms").reason_against(system, machine, libc)
    if refused is None:
        assert reason is None
    else:
        assert refused in reason
