"""Where the demo's files go: a folder for each label, with every file that an answer lists."""

from __future__ import annotations

import re
import shutil
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from service.stack.client import Client


def write_files(client: Client, answered: Mapping[str, Any], folder: Path, *, besides: bool = False) -> None:
    """Fetch every file of a bait or fit into a folder that holds nothing else afterwards, or `besides` its others."""
    if not besides:
        shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True, exist_ok=besides)
    for file in answered["files"]:
        (folder / Path(file["name"]).name).write_bytes(client.fetch(file))


def folder_names(labels: Sequence[str]) -> list[str]:
    """A safe folder name for each label: letters, digits, dots, dashes, underscores and spaces, no two alike."""
    names: list[str] = []
    taken: set[str] = set()
    for label in labels:
        plain = re.sub(r"[^\w .-]+", "-", unicodedata.normalize("NFC", label)).strip(" .-")[:60].strip(" .-")
        name, again = plain or "bait", 1
        while name.casefold() in taken:  # two may differ in case alone, and some file systems do not
            again += 1
            name = f"{plain or 'bait'} {again}"
        taken.add(name.casefold())
        names.append(name)
    return names
