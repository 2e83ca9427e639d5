"""`python -m tests.bench [SECTION ...]`: a table of all sections, or of those named in `SECTIONS`."""

from __future__ import annotations

import sys
from importlib import import_module

from tests.bench.measure import Row, as_table, machine

SECTIONS = ("meshes", "arithmetic", "estimates", "craws", "pictures", "styles", "moulds", "fits", "serving", "sliders")


def main(asked: list[str]) -> int:
    """Measure the sections asked for, or all; 2 for one that does not exist."""
    if unknown := [name for name in asked if name not in SECTIONS]:
        print(f"There is no {' or '.join(unknown)}; there are {', '.join(SECTIONS)}.", file=sys.stderr)
        return 2
    told: list[Row | str] = []
    where = machine()
    for name in asked or SECTIONS:
        print(f"measuring {name} ...", file=sys.stderr, flush=True)
        told += import_module(f"tests.bench.{name}").rows()
    print(f"Measured {where}.\n")
    print(as_table([row for row in told if isinstance(row, Row)]))
    for sentence in told:
        if isinstance(sentence, str):
            print(f"\n{sentence}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
