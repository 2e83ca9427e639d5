"""Resolve requirements/*.in into hashed locks, and check that wheels exist for every machine that we promise.

Run by `make lock`, which keeps the pinned versions, or `make lock UPGRADE=1`, which takes the newest ones.
All locks come from one universal resolution (dev, which holds run); markers in them tell platforms apart,
and one version of a package serves every Python, because the pinned libraries decide a bait's bytes too.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
PUBLIC_INDEX = "https://pypi.org/simple"
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
PROMISED = ("x86_64-manylinux_2_28", "aarch64-manylinux_2_28")
BEST_EFFORT = ("aarch64-apple-darwin",)


def uv(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run uv against the public index alone: no index or setting of this machine may enter a lock."""
    own = {name: value for name, value in os.environ.items() if not name.startswith(("UV_", "PIP_"))}
    command = [str(Path(sys.executable).parent / "uv"), "pip", *arguments]
    command += ["--no-config", "--default-index", PUBLIC_INDEX, "--no-build"]
    return subprocess.run(command, cwd=CHECKOUT, env=own, stdin=subprocess.DEVNULL, capture_output=True, text=True)


def resolve(layer: str, constraint: str | None, upgrade: bool) -> None:
    """Write requirements/{layer}.lock."""
    arguments = ["compile", f"requirements/{layer}.in", "-o", f"requirements/{layer}.lock", "--quiet"]
    arguments += [
        "--universal",
        "--generate-hashes",
        "--python-version",
        PYTHONS[0],
        "--fork-strategy",
        "fewest",
    ]
    arguments += ["--no-annotate", "--custom-compile-command", "make lock"]
    if constraint:
        arguments += ["-c", f"requirements/{constraint}.lock"]
    if upgrade:
        arguments += ["--upgrade"]
    done = uv(*arguments)
    if done.returncode != 0:
        sys.exit(f"requirements/{layer}.in has no resolution:\n{done.stderr.strip()}")


def lacking(layer: str, platforms: tuple[str, ...]) -> list[str]:
    """The machines for which some package of the lock has no wheel, each with the resolver's reason."""
    found = []
    with tempfile.TemporaryDirectory() as nowhere:
        for python in PYTHONS:
            for platform in platforms:
                arguments = ["install", "--dry-run", "--require-hashes", "--target", nowhere]
                arguments += ["--python-version", python, "--python-platform", platform]
                done = uv(*arguments, "-r", f"requirements/{layer}.lock")
                if done.returncode != 0:
                    found.append(f"{layer}.lock, Python {python}, {platform}: {done.stderr.strip()}")
    return found


def main() -> int:
    parser = argparse.ArgumentParser(prog="make lock", description="Write and check the locks.")
    parser.add_argument("--upgrade", action="store_true", help="take the newest versions")
    upgrade = parser.parse_args().upgrade
    resolve("dev", None, upgrade)
    for layer in ("run", "kernel"):
        resolve(layer, "dev", upgrade)
    resolve("tools", None, upgrade)
    resolve("bucket", None, upgrade)
    missing = [line for layer in ("run", "dev") for line in lacking(layer, PROMISED)]
    print("\n".join(lacking("run", BEST_EFFORT) or ["Every run package has a wheel for macOS on ARM, too."]))
    print("\n".join(missing or ["Every package has a wheel for Python 3.11 to 3.14 on Linux x86-64, aarch64."]))
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
