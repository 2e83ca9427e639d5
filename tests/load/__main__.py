"""`python -m tests.load [--write FILE] [existing] [workers] [batch] [limit] [recovery]`: a table; 1 for a bar missed.

`--write` puts the table between the two marks of a file, with date, machine and how busy it was. What was not asked for
is then left out of it.
"""

from __future__ import annotations

import sys
from importlib import import_module

from tests.bench.measure import machine
from tests.bench.sections import asked
from tests.load.figures import Figure, as_table, watched
from worker.console import run

SECTIONS = ("existing", "workers", "batch", "limit", "recovery")
MARK = "make load"


def main(arguments: list[str]) -> int:
    """Measure the sections asked for, or all. 1 where a bar is missed, 2 for a section that does not exist."""
    wanted = asked("python -m tests.load", SECTIONS, arguments)
    if wanted is None:
        return 2
    where, figures = machine(), []
    for name in wanted.sections:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        with watched() as beside:
            told: list[Figure] = list(import_module(f"tests.load.{name}").figures())
        figures += [beside.of(one) for one in told]
    text = f"Measured {where}.\n\n{as_table(figures)}"
    wanted.tell(MARK, text)
    return 1 if any(one.held is False for one in figures) else 0


if __name__ == "__main__":
    sys.exit(run(lambda: main(sys.argv[1:])))
