"""Builds a folder of requests and keeps every file: python bulk.py FOLDER OUT [--service URL]

Exit code 0 when every bait was built, 1 when one was refused or failed.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from baits import Outcome, Service, build_all


def main(arguments: list[str]) -> int:
    """See above."""
    parser = argparse.ArgumentParser(description="Build a folder of requests.")
    parser.add_argument("folder", type=Path, help="folder with one request a .json file")
    parser.add_argument("out", type=Path, help="where each bait's files go, a folder each")
    parser.add_argument("--service", default="http://127.0.0.1:8080", help="address of the service")
    chosen = parser.parse_args(arguments)
    service = Service(chosen.service)

    def tell(outcome: Outcome) -> None:
        if outcome.bait is None:
            print(f"{outcome.name}: {outcome.refusal}", flush=True)
        elif outcome.bait["status"] != "successful":
            print(f"{outcome.name}: {outcome.bait['status']}: {outcome.bait['problem']['detail']}", flush=True)
        else:
            saved = service.save(outcome.bait, chosen.out / outcome.name)
            print(f"{outcome.name}: {len(saved)} files, {outcome.bait['id'][:12]}", flush=True)

    outcomes = build_all(service, chosen.folder, tell)
    built = [o for o in outcomes if o.bait is not None and o.bait["status"] == "successful"]
    print(f"{len(built)} of {len(outcomes)} baits built")
    return 0 if outcomes and len(built) == len(outcomes) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
