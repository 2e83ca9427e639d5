"""What a command does where nobody reads its output to the end, as in `... --check-config | head`."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable

READER_GONE = 128 + 13
"""What a shell says of a program that SIGPIPE (13) ended, as it ends those that do not handle it."""


def run(command: Callable[[], int]) -> int:
    """What `command` returns; quietly `READER_GONE` where standard output was closed before all was written to it.

    Python ignores SIGPIPE and raises BrokenPipeError; what is still buffered then goes nowhere, or the interpreter
    would complain once more at its end (Python's documentation of `signal`, "Note on SIGPIPE").
    """
    try:
        try:
            return command()
        finally:  # also after the SystemExit of `--help`
            sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return READER_GONE
