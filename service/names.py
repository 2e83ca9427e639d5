"""Names of what callers keep: one rule, told one way."""

from __future__ import annotations

import re

from worker.errors import Fault, InvalidRequest
from worker.records.names import NAME

PATTERN = f"^{NAME}$"
IN_WORDS = "1 to 64 of a-z, 0-9, _ and -, and begins with a letter or a digit"
_NAME = re.compile(NAME)


def require_name(name: str, of: str) -> None:
    """Raise InvalidRequest for what cannot be the name of one of these, `plastic` say."""
    if _NAME.fullmatch(name) is None:
        detail = f"A {of}'s name is {IN_WORDS}."
        raise InvalidRequest(detail, [Fault("", "not-a-name", detail, {"pattern": PATTERN})])
