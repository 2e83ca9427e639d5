"""Builds a folder of requests and keeps every file: python bulk.py FOLDER OUT [--service URL] [--at-once N]

Exit code 0 when every bait was built and its files arrived whole, 1 when one was refused or failed, 2 when the
service could not be reached or the folder has no request.
"""

from __future__ import annotations

import sys
from pathlib import Path

from baits import Outcome, Service, build_all, command_line, exit_code


def main(arguments: list[str]) -> int:
    """See above."""
    parser = command_line("Build a folder of requests and keep every file.")
    parser.add_argument("out", type=Path, help="where each bait's files go, a folder each")
    chosen = parser.parse_args(arguments)
    outcomes = []
    for outcome in build_all(Service(chosen.service), chosen.folder, chosen.at_once, chosen.out):
        print(_line(outcome), flush=True)
        outcomes.append(outcome)
    bad = sum(outcome.end != "built" for outcome in outcomes)
    print(f"{len(outcomes) - bad} of {len(outcomes)} baits built")
    return exit_code(outcomes, bad)


def _line(outcome: Outcome) -> str:
    if outcome.end != "built":
        return f"{outcome.name}: {outcome.trouble}"
    failed = [check["check"] for check in outcome.bait["checks"] if check["verdict"] == "fail"]
    said = f"; fails {', '.join(failed)}" if failed else ""
    return f"{outcome.name}: {len(outcome.saved)} files, bait {outcome.bait['id'][:12]}{said}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
