"""What a worked example is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Example:
    """A request in the open form; `shows` says in a sentence what to look at in it."""

    name: str
    title: str
    shows: str
    body: Mapping[str, Any]


def example(name: str, title: str, shows: str, *strands: Mapping[str, Any], **others: Any) -> Example:
    """One of these strands, labelled with its title."""
    return Example(name, title, shows, {"label": title, "strands": list(strands), **others})
