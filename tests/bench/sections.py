"""What `make bench` and `make load` share: sections by name, and a table in a file that people write."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Asked:
    """The sections to be measured, and the file that has a place for their table."""

    sections: Sequence[str]
    file: Path | None

    def tell(self, name: str, text: str) -> None:
        """Print the table, and put it between the marks of this name where a file was named."""
        print(text)
        if self.file is not None:
            self.file.write_text(between_marks(self.file.read_text(), name, text))


def asked(program: str, sections: Sequence[str], arguments: list[str]) -> Asked | None:
    """Of a command line, all sections where it names none; None, and said so, where it names one that there is not."""
    parser = argparse.ArgumentParser(prog=program)
    parser.add_argument("--write", type=Path, metavar="FILE")
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(sections))
    read = parser.parse_args(arguments)
    if unknown := [name for name in read.sections if name not in sections]:
        print(f"There is no {' or '.join(unknown)}; there are {', '.join(sections)}.", file=sys.stderr)
        return None
    return Asked(read.sections or sections, read.write)


def between_marks(content: str, name: str, text: str) -> str:
    """The content with this text between `<!-- name -->` and `<!-- end of name -->`.

    Raises ValueError where they do not stand there once, in this order.
    """
    first, last = f"<!-- {name} -->", f"<!-- end of {name} -->"
    head, begin, rest = content.partition(first)
    _, end, tail = rest.partition(last)
    if not begin or not end or first in rest or last in tail:
        raise ValueError(f"the file has not {first} and, after it, {last}, once each")
    return f"{head}{first}\n\n{text}\n\n{last}{tail}"
