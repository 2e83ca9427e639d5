"""`python -m tests.bench [--write FILE] [SECTION ...]`: a table of all sections, or of those named in `SECTIONS`.

`--write` puts the table between the two marks of a file, with date, machine and how busy it was.
"""

from __future__ import annotations

import sys
from importlib import import_module

from tests.bench.measure import Row, as_table, machine
from tests.bench.sections import asked
from worker.console import run

SECTIONS = (
    "meshes",
    "arithmetic",
    "estimates",
    "craws",
    "pictures",
    "styles",
    "moulds",
    "fits",
    "serving",
    "sliders",
    "page",
)
MARK = "make bench"


def main(arguments: list[str]) -> int:
    """Measure the sections asked for, or all; 2 for one that does not exist."""
    wanted = asked("python -m tests.bench", SECTIONS, arguments)
    if wanted is None:
        return 2
    told: list[Row | str] = []
    where = machine()
    for name in wanted.sections:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        told += import_module(f"tests.bench.{name}").rows()
    sentences = [one for one in told if isinstance(one, str)]
    text = "\n\n".join([f"Measured {where}.", as_table([one for one in told if isinstance(one, Row)]), *sentences])
    wanted.tell(MARK, text)
    return 0


if __name__ == "__main__":
    sys.exit(run(lambda: main(sys.argv[1:])))
