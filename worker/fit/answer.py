"""What a fit answers with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class FitAnswer:
    """`document` is JSON-ready; `files` by name, the document's own text (`fit.json`) among them."""

    document: dict[str, Any]
    files: Mapping[str, bytes]
