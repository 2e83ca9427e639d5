"""Build .venv from the hashed locks, or leave it alone where it is already right. Standard library only.

Usage: environment.py LAYER...   A layer is one lock in requirements/: `run` (demo and serve), `dev` (tests
and linters; it holds all of run), `kernel` (the reference kernel's bindings), `tools` (what `make lock`
needs) and `bucket` (an S3 server for tests, in .venv-bucket).

Each layer leaves a stamp in its environment once it is installed whole: the hash of its lock, the interpreter and the
folder. A stamp that no longer fits means the environment is of another lock, Python or place, and it is built
anew; a layer without a stamp is added to what is there.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import platforms

CHECKOUT = Path(__file__).resolve().parent.parent
LAYERS = ("run", "dev", "kernel", "tools", "bucket")
APART = {"bucket": ".venv-bucket"}  # a layer whose packages do not go with the others'


class SetupFailed(Exception):
    """The environment cannot be built; the text says why and what to do."""


class Environment:
    """A virtual environment of one checkout."""

    def __init__(self, checkout: Path, interpreter: str, name: str = ".venv") -> None:
        self.checkout = checkout
        self.interpreter = interpreter
        self.folder = checkout / name
        self.python = self.folder / "bin" / "python"

    def lock(self, layer: str) -> Path:
        return self.checkout / "requirements" / f"{layer}.lock"

    def stamp_file(self, layer: str) -> Path:
        return self.folder / f"{layer}.stamp"

    def stamp(self, layer: str) -> str:
        """Hash of all that decides what is in the layer."""
        digest = hashlib.sha256()
        for part in (self.lock(layer).read_text(), self.interpreter, sys.version, str(self.folder)):
            digest.update(part.encode() + b"\0")
        return digest.hexdigest()

    def has(self, layer: str) -> bool:
        file = self.stamp_file(layer)
        return file.is_file() and file.read_text() == self.stamp(layer)

    def is_stale(self) -> bool:
        """Whether something there was installed from another lock, by another Python or in another place."""
        stamped = [layer for layer in LAYERS if self.stamp_file(layer).is_file()]
        return not stamped or not all(self.has(layer) for layer in stamped)

    def create(self) -> None:
        """Make an empty environment, with pip in it where the interpreter can (Debian's may not)."""
        if self.folder.exists():
            shutil.rmtree(self.folder)
        made = quietly([self.interpreter, "-m", "venv", str(self.folder)])
        if made.returncode == 0:
            return
        shutil.rmtree(self.folder, ignore_errors=True)
        without = quietly([self.interpreter, "-m", "venv", "--without-pip", str(self.folder)])
        if without.returncode == 0 and quietly([*self.pip(), "--version"]).returncode == 0:
            return
        shutil.rmtree(self.folder, ignore_errors=True)
        raise SetupFailed(
            f"{self.interpreter} could not make a virtual environment with pip in it:\n"
            f"{(made.stdout + made.stderr).strip()}\n"
            "On Debian or Ubuntu `apt-get install python3-venv` mends this; elsewhere set PYTHON to a "
            "complete Python."
        )

    def pip(self) -> list[str]:
        """The environment's own pip, or the interpreter's working on the environment from outside."""
        if quietly([str(self.python), "-m", "pip", "--version"]).returncode == 0:
            return [str(self.python), "-m", "pip"]
        return [self.interpreter, "-m", "pip", "--python", str(self.python)]

    def install(self, layer: str) -> None:
        version = sys.version.split()[0]
        print(f"Installing requirements/{layer}.lock into {self.folder.name} (Python {version})", flush=True)
        command = [*self.pip(), "install", "-qq", "--disable-pip-version-check", "--no-input"]
        command += ["--require-hashes", "--only-binary=:all:", "-r", str(self.lock(layer))]
        # The user's index settings stay in force; only a wish to install elsewhere than here would break
        # this.
        elsewhere = ("PIP_TARGET", "PIP_PREFIX", "PIP_USER")
        own = {name: value for name, value in os.environ.items() if name not in elsewhere} | {"PIP_USER": "0"}
        if subprocess.run(command, env=own, stdin=subprocess.DEVNULL).returncode != 0:
            raise SetupFailed(
                f"pip could not install requirements/{layer}.lock; its own message stands above. Usual "
                "causes: no way to the package index (PIP_INDEX_URL and PIP_PROXY are respected), or an "
                "index that lacks a wheel."
            )
        self.stamp_file(layer).write_text(self.stamp(layer))

    def bring_to(self, layers: list[str]) -> None:
        """Have every named layer installed, doing nothing that is done already."""
        if self.is_stale():
            self.create()
        for layer in sorted(set(layers), key=LAYERS.index):
            if not self.has(layer) and not (layer == "run" and self.has("dev")):
                self.install(layer)


def quietly(command: list[str]) -> subprocess.CompletedProcess[str]:
    """Run a command, keeping what it prints."""
    return subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True)


@contextmanager
def one_at_a_time(checkout: Path) -> Iterator[None]:
    """Hold the checkout, so that two `make` at once do not build one environment together."""
    folder = os.open(checkout / "requirements", os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def main(layers: list[str]) -> int:
    unknown = [layer for layer in layers if layer not in LAYERS]
    against = platforms.reason_against()
    if unknown or not layers:
        print(f"Name one or more layers of {', '.join(LAYERS)}.", file=sys.stderr)
        return 2
    if against:
        print(against, file=sys.stderr)
        return 1
    try:
        with one_at_a_time(CHECKOUT):
            if together := [layer for layer in layers if layer not in APART]:
                Environment(CHECKOUT, sys.executable).bring_to(together)
            for layer in set(layers) - set(together):
                Environment(CHECKOUT, sys.executable, APART[layer]).bring_to([layer])
    except SetupFailed as failure:
        print(failure, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
