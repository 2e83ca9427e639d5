"""`metrics.json`: the numbers and checks of an answer as a file, without dates or times."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from worker.request.identity import engine


def write_metrics(normal: Mapping[str, Any], numbers: Mapping[str, Any]) -> bytes:
    """Indented JSON with sorted members; the same for the same request, always."""
    document = {"engine": engine(), "request": normal, **numbers}
    return (json.dumps(document, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()
