"""A CI gate: builds a folder of requests and fails on a failed check: python gate.py FOLDER [--service URL]

Exit code 0 when every bait was built and none of its checks failed, 1 when one was refused, failed or falls short,
2 when the service could not be reached or the folder has no request. A check that the request silences is let pass.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

from baits import Outcome, Service, build_all, command_line, exit_code


def main(arguments: list[str]) -> int:
    """See above."""
    chosen = command_line("Fail on baits that fall short.").parse_args(arguments)
    outcomes, bad = [], 0
    for outcome in build_all(Service(chosen.service), chosen.folder, chosen.at_once):
        faults = list(_faults(outcome))
        print(f"{outcome.name}: {'falls short' if faults else 'holds'}", *faults, sep="\n    ", flush=True)
        outcomes.append(outcome)
        bad += bool(faults)
    print(f"{len(outcomes) - bad} of {len(outcomes)} baits hold")
    return exit_code(outcomes, bad)


def _faults(outcome: Outcome) -> Iterator[str]:
    """A line for each reason to stop: no bait, or a check that failed, with its value, limit and remedies."""
    if outcome.end != "built":
        yield outcome.trouble
    for check in outcome.bait.get("checks", ()):
        if check["verdict"] == "fail" and not check["silenced"]:
            yield (
                f"{check['check']}: {_figure(check, 'value')}, limit {_figure(check, 'limit')}. {check['text']} "
                f"Remedy: {' or '.join(remedy['text'] for remedy in check['remedies']) or 'none known'}."
            )


def _figure(check: dict[str, Any], member: str) -> str:
    return f"{check[member]:g} {check['unit']}".rstrip()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
