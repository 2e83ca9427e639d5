"""Where the same request has to give the same bytes: other hash seeds, locales, processors, numbers of cores."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

from tests.determinism.digests import Digests

ROOT = Path(__file__).resolve().parents[2]

_DISPATCHED = [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]
"""What NumPy would use beyond its baseline here; it refuses to start without its baseline."""
_WIDE = [name for name in _DISPATCHED if name.startswith(("X86_V4", "AVX512", "SVE"))]


@dataclass(frozen=True, slots=True)
class Environment:
    """Variables over our own, and how many cores."""

    name: str
    variables: dict[str, str] = field(default_factory=dict)
    cores: int | None = None

    def digests(self, names: Iterable[str]) -> Digests:
        """What a process in this environment builds. Raises CalledProcessError with what it said."""
        own = {name: value for name, value in os.environ.items() if not name.startswith(("LC_", "LANG", "NPY_"))}
        command = [sys.executable, "-m", "tests.determinism.digests"]
        if self.cores is not None:
            command += ["--cores", str(self.cores)]
        told = subprocess.run(
            [*command, *names], env=own | self.variables, cwd=ROOT, capture_output=True, text=True, timeout=300
        )
        if told.returncode:
            raise AssertionError(f"{self.name}: {told.stderr}")
        digests: Digests = json.loads(told.stdout)
        return digests


def _another_locale() -> str:
    """One that writes numbers with a comma where there is one, else any but C."""
    listed = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout.split()
    for start in ("de_", "fr_", "tr_", "", "C."):
        for name in listed:
            if name not in ("C", "POSIX", *(["C.utf8", "C.UTF-8"] if start != "C." else [])) and name.startswith(start):
                return name
    return "C"


PLAIN = Environment("as the tests run, hash seed 1", {"PYTHONHASHSEED": "1"})
ODD = Environment(
    "hash seed 2, locale C, one core, no wide vectors, arithmetic of older processors in the C library and BLAS",
    {
        "PYTHONHASHSEED": "2",
        "LC_ALL": "C",
        "NPY_DISABLE_CPU_FEATURES": " ".join(_WIDE),
        "OPENBLAS_CORETYPE": "Haswell",
        "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-FMA,-FMA4,-AVX2",
    },
    cores=1 if hasattr(os, "sched_setaffinity") else None,
)
"""Everything at once, for the quick tests; where it differs the single ones say what it was."""

SINGLE = [
    Environment("hash seed 2", {"PYTHONHASHSEED": "2"}),
    Environment("locale C", {"LC_ALL": "C"}),
    Environment(f"locale {_another_locale()}", {"LC_ALL": _another_locale(), "TZ": "Asia/Kathmandu"}),
    Environment("no wide vectors in NumPy", {"NPY_DISABLE_CPU_FEATURES": " ".join(_WIDE)}),
    Environment("NumPy's baseline alone", {"NPY_DISABLE_CPU_FEATURES": " ".join(_DISPATCHED)}),
    Environment("BLAS for Haswell", {"OPENBLAS_CORETYPE": "Haswell"}),
    Environment("a C library without fused multiply-add", {"GLIBC_TUNABLES": "glibc.cpu.hwcaps=-FMA,-FMA4,-AVX2"}),
    Environment("BLAS and others on 16 threads", {"OPENBLAS_NUM_THREADS": "16", "OMP_NUM_THREADS": "16"}),
]
if hasattr(os, "sched_setaffinity"):
    SINGLE.append(Environment("one core", cores=1))
