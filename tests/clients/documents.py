"""Code blocks out of Markdown, in their order: fenced ones with their language, and indented ones."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass
from pathlib import Path

_FENCED = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_INDENTED = re.compile(r"(?:^ {4}.*\n(?:^\s*\n(?= {4}))?)+", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Block:
    """One block, and the line of the document that it begins on. `language` is empty where none is told."""

    language: str
    text: str
    line: int


def blocks(path: Path) -> list[Block]:
    """Every block of a document."""
    text = path.read_text()
    fenced = [Block(one[1], one[2], text.count("\n", 0, one.start()) + 2) for one in _FENCED.finditer(text)]
    # What is fenced is blanked first: code has indented lines of its own.
    rest = _FENCED.sub(lambda one: "\n" * one[0].count("\n"), text)
    indented = [
        Block("", textwrap.dedent(one[0]).strip("\n") + "\n", rest.count("\n", 0, one.start()) + 1)
        for one in _INDENTED.finditer(rest)
    ]
    return sorted(fenced + indented, key=lambda block: block.line)
