"""A gate for a pipeline: fails where a bait falls short: python -m pourwright_client.gate bodies/*.json

Each file is a request. They are estimated, which needs no worker, or with --build built, which also answers what only a
solid tells. Exit code 0: all hold; 1: a check failed, or a request is refused; 2: they could not all be tried.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from pourwright_client.client import Client
from pourwright_client.errors import Busy, EndedBadly, NotAllowed, PourwrightError, Refused
from pourwright_client.patch import pointers
from pourwright_client.records import Bait, Check

HOLDS, FALLS_SHORT, NOT_TRIED = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Judged:
    """One file's end: an exit code of its own, and a line for each reason."""

    path: Path
    code: int
    lines: tuple[str, ...] = ()


def judged(client: Client, path: Path, build: bool, cautions: bool) -> Judged:
    """Asks for one bait. Never raises for what a file or the service may do."""
    try:
        request = json.loads(path.read_bytes())
        bait = client.build(request) if build else client.estimate(request)
    except Refused as refused:
        faults = [f"{fault.pointer or '/'}: {fault.detail}" for fault in refused.faults]
        return Judged(path, FALLS_SHORT, (f"refused: {refused.problem.detail}", *faults))
    except EndedBadly as ended:
        return Judged(path, FALLS_SHORT, (str(ended),))
    except (PourwrightError, OSError, ValueError) as reason:
        code = FALLS_SHORT if isinstance(reason, ValueError) else NOT_TRIED
        return Judged(path, code, (f"{_not_tried(reason)}: {reason}",))
    lines = tuple(line for check in bait.checks for line in _told(check, cautions))
    return Judged(path, FALLS_SHORT if lines else HOLDS, lines or tuple(_notes(bait)))


def _not_tried(reason: Exception) -> str:
    if isinstance(reason, ValueError):
        return "no JSON"
    return "not allowed" if isinstance(reason, NotAllowed) else "busy" if isinstance(reason, Busy) else "not tried"


def _told(check: Check, cautions: bool) -> Iterator[str]:
    """A failed check: what it found against what, then each remedy as the places of the request that it sets."""
    if not (check.fails or (cautions and check.verdict == "caution" and not check.silenced)):
        return
    figures = "" if check.value is None else f" {check.value:g}"
    figures += "" if check.limit is None else f", limit {check.limit:g}"
    figures += f" {check.unit}" if figures and check.unit else ""
    yield f"{check.check}: {check.verdict}{figures}. {check.text}"
    for remedy in check.remedies:
        places = ", ".join(f"{place} = {json.dumps(value)}" for place, value in pointers(remedy.patch))
        yield f"  remedy: {places} ({remedy.text})"
    if not check.remedies:
        yield "  remedy: none known"


def _notes(bait: Bait) -> Iterator[str]:
    """What is let pass although it fails, for whoever reads the log."""
    for check in bait.checks:
        if check.verdict == "fail":
            yield f"{check.check}: fails, and the request silences it. {check.text}"


def main(arguments: Sequence[str] | None = None) -> int:
    """See above; prints as it goes, in the order of the files."""
    parser = argparse.ArgumentParser(prog="pourwright_client.gate", description="Fail on baits that fall short.")
    parser.add_argument("requests", nargs="+", type=Path, help="files with one request each")
    parser.add_argument("--service", default=os.environ.get("POURWRIGHT_URL", "http://127.0.0.1:8080"))
    parser.add_argument("--build", action="store_true", help="build them instead of estimating them")
    parser.add_argument("--cautions", action="store_true", help="fail on cautions too")
    parser.add_argument("--at-once", type=int, default=4, metavar="N", help="calls under way at once; 4 unless told")
    parser.add_argument(
        "--patience", type=float, default=300.0, metavar="SECONDS", help="for each file; 300 unless told"
    )
    chosen = parser.parse_args(arguments)
    client = Client(chosen.service, patience_s=chosen.patience)
    codes = []
    with ThreadPoolExecutor(max(1, chosen.at_once)) as pool:
        for one in pool.map(lambda path: judged(client, path, chosen.build, chosen.cautions), chosen.requests):
            word = {HOLDS: "holds", FALLS_SHORT: "falls short", NOT_TRIED: "not tried"}[one.code]
            print(f"{one.path}: {word}", *one.lines, sep="\n    ", flush=True)
            codes.append(one.code)
    print(f"{codes.count(HOLDS)} of {len(codes)} hold")
    return max(codes)


if __name__ == "__main__":
    try:
        code = main()
        sys.stdout.flush()
    except BrokenPipeError:  # nobody reads on, as in `... | head`: end as SIGPIPE would have ended it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 128 + 13
    sys.exit(code)
