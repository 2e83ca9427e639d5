"""Which machines Pourwright's libraries are built for. Standard library only: it runs first of all."""

from __future__ import annotations

import platform

OLDEST_GLIBC = (2, 28)
MACHINES = {"x86_64", "amd64", "aarch64", "arm64"}


def reason_against(
    system: str | None = None, machine: str | None = None, libc: tuple[str, str] | None = None
) -> str | None:
    """Return the sentence that refuses this machine, or None where Pourwright runs.

    The arguments default to the machine at hand; they are `platform.system()`, `platform.machine()` and
    `platform.libc_ver()`, and stand here so that a test can name another machine.
    """
    system = platform.system() if system is None else system
    machine = platform.machine() if machine is None else machine
    if system not in ("Linux", "Darwin") or machine.lower() not in MACHINES:
        return (
            f"Pourwright runs on Linux (x86-64 and aarch64) and, as far as it can be tried, on macOS; "
            f"this is {system or 'an unknown system'} on {machine or 'an unknown processor'}."
        )
    if system == "Darwin":
        return None
    name, version = platform.libc_ver() if libc is None else libc
    numbers = tuple(int(part) for part in version.split(".")[:2] if part.isdigit())
    if name != "glibc" or numbers < OLDEST_GLIBC:
        found = f"{name} {version}".strip() or "another C library"
        return f"Pourwright's libraries need glibc 2.28 or later; this Linux has {found}."
    return None
