"""A CI gate: builds a folder of requests and fails on a failed check: python gate.py FOLDER [--service URL]

Exit code 0 when every bait was built and every check passed or cautioned, 1 otherwise.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from baits import Outcome, Service, build_all, shortfalls


def main(arguments: list[str]) -> int:
    """See above."""
    parser = argparse.ArgumentParser(description="Fail on baits that fall short.")
    parser.add_argument("folder", type=Path, help="folder with one request a .json file")
    parser.add_argument("--service", default="http://127.0.0.1:8080", help="address of the service")
    chosen = parser.parse_args(arguments)
    outcomes = build_all(Service(chosen.service), chosen.folder, lambda outcome: None)
    bad = 0
    for outcome in outcomes:
        lines = list(_faults(outcome))
        bad += bool(lines)
        print(f"{outcome.name}: {'falls short' if lines else 'holds'}")
        for line in lines:
            print(f"    {line}")
    print(f"{len(outcomes) - bad} of {len(outcomes)} baits hold")
    return 1 if bad or not outcomes else 0


def _faults(outcome: Outcome) -> list[str]:
    if outcome.bait is None:
        return [outcome.refusal]
    if outcome.bait["status"] != "successful":
        return [f"{outcome.bait['status']}: {outcome.bait['problem']['detail']}"]
    return list(shortfalls(outcome.bait))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
