"""Whatever the document allows, and much that it does not, sent to the running service by schemathesis.

All of its checks, over examples, over values at every edge of the schemas, over drawn calls and over chains of calls
that follow the document's links. One check is asked in our own form, with exceptions and reasons: `any_call_hooks`.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from service.keys.book import KeyBook, keys_file
from service.keys.key import new_key
from service.scopes import SCOPES
from tests.http.running import service
from tests.stack import ROOT

pytestmark = pytest.mark.proof
SECONDS = 120
# Without limits that such a flood runs into: what is asked is whether each call is answered as the document says.
UNLIMITED: dict[str, Any] = {
    f"{policy}_per_minute": 0 for policy in ("estimates", "baits", "batches", "fits", "links", "changes")
} | {
    **dict.fromkeys(("queue_limit", "batch_queue_limit", "batch_queue_limit_per_caller"), 1_000_000),
    "estimate_waiting": 1000,
}
# The document's largest schema has some ten thousand edges; estimates and batches take the same body.
COVERED_BY_DRAWING = ("/v1/baits", "/v1/estimates", "/v1/batches")


def schemathesis(port: int, token: str, folder: Path, *options: str) -> tuple[int, str]:
    """Its exit status and what it printed; what it writes goes into the folder."""
    command = [sys.executable, "-m", "schemathesis.cli", "run", f"http://127.0.0.1:{port}/v1/openapi.json"]
    command += ["-H", f"Authorization: Bearer {token}", "--continue-on-failure", "--no-color", "--seed", "1"]
    command += ["--checks", "all", "--exclude-checks", "positive_data_acceptance", "--request-timeout", "60"]
    command += ["--max-response-time", "40", *options]  # a call may wait for 25 s, and machines are busy
    places = os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]).rstrip(os.pathsep)
    environ = os.environ | {"SCHEMATHESIS_HOOKS": "tests.http.any_call_hooks", "PYTHONPATH": places}
    done = subprocess.run(command, cwd=folder, env=environ, capture_output=True, text=True, timeout=SECONDS * 10)
    return done.returncode, done.stdout + done.stderr


def test_every_call_is_answered_as_the_document_says(tmp_path: Path, proof_row: Callable[..., None]) -> None:
    with service(workers=True, job_limit_s=10, **UNLIMITED) as running:
        made, token = new_key("alder", SCOPES, "", datetime.now(UTC), None)
        KeyBook(keys_file(running.stack.settings)).add(made)
        without = [part for path in COVERED_BY_DRAWING for part in ("--exclude-path", path)]
        runs = {
            "examples of the document": ["--phases", "examples"],
            "edges of every schema but the request's": ["--phases", "coverage", *without],
            "drawn calls and chains of calls": ["--phases", "fuzzing,stateful", "--max-time", str(SECONDS)],
        }
        ended = {name: schemathesis(running.port, token, tmp_path, *options) for name, options in runs.items()}
        log = (running.stack.settings.state_dir / "service.log").read_text(errors="replace")
    for name, (_, said) in ended.items():
        found = re.search(r"([0-9]+) generated, ([0-9]+) passed", said)
        sent, passed = map(int, found.groups()) if found else (0, 0)
        proof_row(f"schemathesis, {name}: calls of {sent} not answered as the document says", sent - passed, 0)
        assert sent > 20, said
    assert {name: status for name, (status, _) in ended.items()} == dict.fromkeys(ended, 0), "\n".join(
        said for _, said in ended.values()
    )
    assert "Traceback" not in log and token not in log
