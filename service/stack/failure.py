"""What stops the stack from starting."""

from __future__ import annotations


class StartFailed(Exception):
    """The stack cannot start; the text says what failed, why, and how to mend it."""
