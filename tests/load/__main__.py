"""`python -m tests.load [--write FILE] [existing] [workers] [batch] [limit] [recovery]`: a table; 1 for a bar missed.

`--write` puts the table between the two marks of a file, with date, machine and how busy it was. What was not asked for
is then left out of it.
"""

from __future__ import annotations

import argparse
import sys
from importlib import import_module
from pathlib import Path

from tests.bench.marks import between_marks
from tests.bench.measure import machine
from tests.load.figures import Figure, as_table, watched

SECTIONS = ("existing", "workers", "batch", "limit", "recovery")
MARK = "make load"


def main(arguments: list[str]) -> int:
    """Measure the sections asked for, or all. 1 where a bar is missed, 2 for a section that does not exist."""
    parser = argparse.ArgumentParser(prog="python -m tests.load")
    parser.add_argument("--write", type=Path, metavar="FILE")
    parser.add_argument("sections", nargs="*", metavar="SECTION", help=", ".join(SECTIONS))
    asked = parser.parse_args(arguments)
    if unknown := [name for name in asked.sections if name not in SECTIONS]:
        print(f"There is no {' or '.join(unknown)}; there are {', '.join(SECTIONS)}.", file=sys.stderr)
        return 2
    where, figures = machine(), []
    for name in asked.sections or SECTIONS:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        with watched() as beside:
            told: list[Figure] = list(import_module(f"tests.load.{name}").figures())
        figures += [beside.of(one) for one in told]
    text = f"Measured {where}.\n\n{as_table(figures)}"
    print(text)
    if asked.write is not None:
        asked.write.write_text(between_marks(asked.write.read_text(), MARK, text))
    return 1 if any(one.held is False for one in figures) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
