"""Write the document: `python -m service.openapi [path]`."""

from __future__ import annotations

import sys
from pathlib import Path

from service.openapi import document_text
from worker.console import run

COMMITTED = Path(__file__).parents[2] / "openapi" / "openapi.json"


def main(arguments: list[str]) -> int:
    """Write to the committed place, or to the one path that is given."""
    target = Path(arguments[0]) if arguments else COMMITTED
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(document_text(), encoding="utf-8")
    print(f"wrote {target}")
    return 0


if __name__ == "__main__":
    sys.exit(run(lambda: main(sys.argv[1:])))
