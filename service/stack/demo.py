"""`python -m service.stack.demo`: every request of demo_requests/ built or searched over HTTP, into out/."""

from __future__ import annotations

import json
import signal
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from service.stack.client import Client, DemoFailed
from service.stack.demo_files import folder_names, write_files
from service.stack.demo_fits import search_all
from service.stack.demo_stack import last_lines, running_stack
from service.stack.demo_table import row, table
from service.stack.failure import StartFailed
from service.stack.serve import CHECKOUT
from worker.console import run

BUILT_WITHIN_S = 300.0


def main() -> int:
    """0 when every bait ended successful. A bait whose checks fail is a bait all the same."""
    for number in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, _end_in_order)
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="replace")  # a label may hold what the terminal cannot show
    try:
        folder, out = CHECKOUT / "demo_requests", CHECKOUT / "out"
        requests, fits = read_requests(folder), read_requests(folder / "fits")
        with running_stack() as (client, log):
            rows, failures = build_all(client, requests, out)
            names = folder_names([str(each["label"]) for each in (*requests, *fits)])[len(requests) :]
            failures += search_all(client, fits, names, out, BUILT_WITHIN_S)
            if failures:
                failures.append(f"The last that the service said:\n{last_lines(log)}")
    except (StartFailed, DemoFailed) as failure:
        print(failure, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped; nothing is left running.", file=sys.stderr)
        return 130
    print(f"\n{table(rows)}\n\nThe files are in out/, one folder a bait or fit.")
    for sentence in failures:
        print(sentence, file=sys.stderr)
    return 1 if failures else 0


def read_requests(folder: Path) -> list[dict[str, Any]]:
    """The requests in the order of their file names. Raises DemoFailed for one that is no JSON object."""
    requests = []
    for file in sorted(folder.glob("*.json")):
        try:
            request = json.loads(file.read_bytes())
        except ValueError as reason:
            raise DemoFailed(f"{file.name} in {folder.name} is not JSON: {reason}") from reason
        if not isinstance(request, dict):
            raise DemoFailed(f"{file.name} in {folder.name} is not a request: a JSON object is expected")
        requests.append({"label": file.stem} | request)
    if not requests:
        raise DemoFailed(f"There is no request in {folder.name}/: put at least one *.json file there.")
    return requests


def build_all(
    client: Client, requests: Sequence[Mapping[str, Any]], out: Path
) -> tuple[list[tuple[str, ...]], list[str]]:
    """Build one after the other, write the files, say how it goes. Returns the table's rows and what failed."""
    rows, failures = [], []
    names = folder_names([str(request["label"]) for request in requests])
    for number, (request, name) in enumerate(zip(requests, names, strict=True), start=1):
        label = str(request["label"])
        print(f"{number}/{len(requests)}  {label} ...", end="", flush=True)
        begun = time.monotonic()
        try:
            bait = client.build(request, BUILT_WITHIN_S)
            seconds = time.monotonic() - begun
            if bait["status"] != "successful":
                problem = bait.get("problem") or {}
                raise DemoFailed(f"it ended {bait['status']}: {problem.get('detail', 'no reason was given')}")
            write_files(client, bait, out / name)
        except DemoFailed as failure:
            seconds = time.monotonic() - begun
            print(" not built", flush=True)
            failures.append(f"{label}: {failure}")
            rows.append(row(label, None, seconds))
            continue
        print(f" built in {seconds:.2f} s, {len(bait['files'])} files in out/{name}", flush=True)
        for check in bait["checks"]:
            if check["verdict"] == "fail" and not check["silenced"]:
                remedy = f" Remedy: {check['remedies'][0]['text']}." if check["remedies"] else ""
                print(f"      {check['check']}: {check['text']}{remedy}", flush=True)
        rows.append(row(label, bait, seconds))
    return rows, failures


def _end_in_order(number: int, frame: object) -> None:
    """SIGTERM and SIGHUP end the demo as Ctrl-C does, by way of its clean-up."""
    raise KeyboardInterrupt


if __name__ == "__main__":
    sys.exit(run(main))
