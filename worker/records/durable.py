"""Files and folders that a power cut does not take."""

from __future__ import annotations

import os
from pathlib import Path


def write_new(path: Path, content: bytes) -> None:
    """A new file, on the disk when this returns; its name is when its folder is synced."""
    with open(path, "xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def sync(folder: Path) -> None:
    """Have the names in a folder on the disk."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def make_folders(folder: Path) -> None:
    """Make a folder and those above it, each durable before anything is put into it."""
    if folder.is_dir():
        return
    make_folders(folder.parent)
    folder.mkdir(exist_ok=True)
    sync(folder.parent)
