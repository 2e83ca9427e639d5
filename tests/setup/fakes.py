"""Programs that pretend: interpreters of other versions, broken shims, servers of other ages."""

from __future__ import annotations

import shlex
import shutil
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def write_program(path: Path, text: str) -> Path:
    """An executable file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    path.chmod(0o755)
    return path


def shell(path: Path, *lines: str) -> Path:
    """An executable shell script."""
    return write_program(path, "#!/bin/sh\n" + "\n".join(lines) + "\n")


def broken_shim(path: Path) -> Path:
    """What a version manager leaves on PATH for a version that is not active: found, but it does not run."""
    return shell(path, f'echo "{path.name}: command not found" >&2', "exit 127")


def interpreter(path: Path, version: tuple[int, int], *, name: str = "cpython", complete: bool = True) -> Path:
    """This test's own Python, which says that it is another version, or incomplete."""
    pretence = [
        "import runpy, sys",
        f"sys.version_info = {(*version, 1, 'final', 0)!r}",
        f"sys.implementation.name = {name!r}",
        f"sys.executable = sys._base_executable = {str(path)!r}",
        "sys.argv = sys.argv[1:]",
    ]
    if not complete:
        pretence.append("sys.modules['ssl'] = None")  # importing it then raises ImportError
    pretence.append("runpy.run_path(sys.argv[0], run_name='__main__')")
    return shell(path, f'exec {shlex.quote(sys.executable)} -c "{"; ".join(pretence)}" "$@"')


def bare_path(folder: Path) -> Path:
    """A folder for PATH that holds what the script itself calls, and no Python."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("sh", "dirname"):
        found = shutil.which(name)
        assert found
        (folder / name).symlink_to(found)
    return folder
