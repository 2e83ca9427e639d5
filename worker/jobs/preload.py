"""What the parent of all workers does once, so that no job's process has to do it again."""

from __future__ import annotations

import ctypes
import importlib
import sys

from PIL import Image

_MIB = 1 << 20
# glibc's malloc.h: parameter and value, where mallopt knows them.
_KEEP_MEMORY = {-1: 1024 * _MIB, -2: 64 * _MIB, -3: 32 * _MIB}  # M_TRIM_THRESHOLD, M_TOP_PAD, M_MMAP_THRESHOLD

_AT_FIRST_USE = ("encodings.mac_roman", "encodings.utf_16_be", "reportlab.lib.fonts")
"""What libraries import only once a file is written."""


def load_libraries() -> None:
    """Import all that a build needs: 0.4 s here, or in every job."""
    for module in ("worker.jobs.run", *_AT_FIRST_USE):
        importlib.import_module(module)
    Image.init()  # else it imports its 50 formats at the first picture


def keep_memory() -> None:
    """Let malloc keep what is freed, for a build frees and takes the same megabytes again and again.

    Coming back from the kernel they come page by page: measured, a tenth of a build's CPU time.
    """
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None) if sys.platform == "linux" else None
    if mallopt is not None:
        for parameter, value in _KEEP_MEMORY.items():
            mallopt(parameter, value)
