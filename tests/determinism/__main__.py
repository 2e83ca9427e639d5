"""`python -m tests.determinism`: write the table of digests anew; not while changed bytes go by the old engine."""

from __future__ import annotations

import sys

from tests.determinism.digests import digests
from tests.determinism.table import FILE, Table, differing
from worker.console import run
from worker.request.identity import engine


def main() -> int:
    """1 where bytes changed and the engine did not."""
    built = Table(engine(), digests())
    changed: list[str] = []
    if FILE.exists():
        committed = Table.read()
        changed = differing(committed.files, built.files)
        if changed and committed.engine == built.engine:
            print("Not written: these changed, and the engine's text did not.", *changed, sep="\n  ", file=sys.stderr)
            print("Raise REVISION in worker/request/identity.py and run this again.", file=sys.stderr)
            return 1
    built.write()
    count = sum(len(files) for files in built.files.values())
    print(f"{FILE.name}: {count} files of {len(built.files)} requests, {len(changed)} of them changed.")
    return 0


if __name__ == "__main__":
    sys.exit(run(main))
