"""The committed table: which bytes each request gives, and with which engine."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.determinism.digests import Digests

FILE = Path(__file__).with_name("digests.json")


@dataclass(frozen=True, slots=True)
class Table:
    """The engine's text, and digests by request and file."""

    engine: str
    files: Digests

    @classmethod
    def read(cls, file: Path = FILE) -> Table:
        """The table in a file. Raises FileNotFoundError."""
        document = json.loads(file.read_text(encoding="utf-8"))
        return cls(document["engine"], document["files"])

    def write(self, file: Path = FILE) -> None:
        """Sorted, a line a file, so that a change reads well."""
        document = {"engine": self.engine, "files": self.files}
        file.write_text(json.dumps(document, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def differing(before: Mapping[str, Mapping[str, str]], after: Mapping[str, Mapping[str, str]]) -> list[str]:
    """In words, the files that stand in both under one name and are not the same."""
    return [
        f"{file} of {request!r}"
        for request, files in sorted(before.items())
        for file, digest in sorted(files.items())
        if after.get(request, {}).get(file, digest) != digest
    ]


def fault(committed: Table, built: Table) -> str | None:
    """What is wrong with the committed table, and what to do; None where nothing is."""
    changed = differing(committed.files, built.files)
    if committed.engine == built.engine:
        if changed:
            return (
                f"The bytes of {len(changed)} files changed and the engine's text did not, so two different files "
                f"would go by one id: {'; '.join(changed[:8])}. Raise REVISION in worker/request/identity.py, then run "
                "`python -m tests.determinism`."
            )
    else:
        return (
            f"The engine is {built.engine!r} and the table was written with {committed.engine!r}. Run "
            "`python -m tests.determinism` and commit the table."
        )
    listed = {(request, file) for request, files in committed.files.items() for file in files}
    made = {(request, file) for request, files in built.files.items() for file in files}
    if listed != made:
        apart = ", ".join(f"{file} of {request!r}" for request, file in sorted(listed ^ made))
        return f"The table and the requests list different files: {apart}. Run `python -m tests.determinism`."
    return None
