"""`python -m tests.bench [--write FILE] [SECTION ...]`: a table of all sections, or of those named in `SECTIONS`.

`--write` puts the table between the two marks of a file, with date, machine and how busy it was.
"""

from __future__ import annotations

import argparse
import sys
from importlib import import_module
from pathlib import Path

from tests.bench.marks import between_marks
from tests.bench.measure import Row, as_table, machine

SECTIONS = ("meshes", "arithmetic", "estimates", "craws", "pictures", "styles", "moulds", "fits", "serving", "sliders")
MARK = "make bench"


def main(arguments: list[str]) -> int:
    """Measure the sections asked for, or all; 2 for one that does not exist."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench")
    parser.add_argument("--write", type=Path, metavar="FILE")
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(SECTIONS))
    asked = parser.parse_args(arguments)
    if unknown := [name for name in asked.sections if name not in SECTIONS]:
        print(f"There is no {' or '.join(unknown)}; there are {', '.join(SECTIONS)}.", file=sys.stderr)
        return 2
    told: list[Row | str] = []
    where = machine()
    for name in asked.sections or SECTIONS:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        told += import_module(f"tests.bench.{name}").rows()
    sentences = [one for one in told if isinstance(one, str)]
    text = "\n\n".join([f"Measured {where}.", as_table([one for one in told if isinstance(one, Row)]), *sentences])
    print(text)
    if asked.write is not None:
        asked.write.write_text(between_marks(asked.write.read_text(), MARK, text))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
