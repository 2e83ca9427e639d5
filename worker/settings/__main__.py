"""`python -m worker.settings`: the settings of this environment, or the manual's table of them."""

from __future__ import annotations

import argparse
import sys

from worker.console import run
from worker.settings import load
from worker.settings.told import MANUAL, check_config, manual, table


def main(arguments: list[str] | None = None) -> int:
    """0; 1 where a setting of this environment cannot be used."""
    parser = argparse.ArgumentParser(prog="python -m worker.settings", description="Pourwright's settings.")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--check-config", action="store_true", help="tell every setting's value and refuse bad ones")
    what.add_argument("--table", action="store_true", help="print all settings as a Markdown table")
    what.add_argument(
        "--write", action="store_true", help=f"write the manual's page, {MANUAL.parent.name}/{MANUAL.name}"
    )
    asked = parser.parse_args(arguments)
    if asked.table:
        print(table())
    elif asked.write:
        MANUAL.parent.mkdir(exist_ok=True)
        MANUAL.write_text(manual(), encoding="utf-8")
        print(f"wrote {MANUAL}")
    else:
        return check_config(load)
    return 0


if __name__ == "__main__":
    sys.exit(run(main))
