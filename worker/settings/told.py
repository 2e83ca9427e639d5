"""Settings told to people: the values of one environment with where each comes from, and the table of the manual."""

from __future__ import annotations

import difflib
import os
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from worker.errors import Fault, SettingsInvalid
from worker.settings.declared import SETTINGS
from worker.settings.kinds import PREFIX, Setting

MANUAL = Path(__file__).parents[2] / "docs" / "settings.md"

HIDDEN = "(set, not shown)"
# Ours, and no settings: the key that the example clients send, and what tests may not do without.
NO_SETTINGS = frozenset({"POURWRIGHT_KEY", "POURWRIGHT_REQUIRE"})

_HEAD = """\
# Settings

Environment variables, read by the service and by the workers; one that is empty counts as unset. A value that cannot be
used stops the start with a sentence for each. `python -m service.stack.serve --check-config` tells the values that this
environment gives, and whether the service would start with them.

Written by `python -m worker.settings --write` from the declarations in `worker/settings/declared.py`.

"""


def check_config(start: Callable[[], object]) -> int:
    """Tell the values on standard output, and on standard error why `start` raises SettingsInvalid: 0, or 1 if so."""
    print(values_told(), flush=True)
    for sentence in strangers():
        print(sentence, file=sys.stderr)
    try:
        start()
    except SettingsInvalid as invalid:
        print(faults_told(invalid.faults) or invalid.detail, file=sys.stderr)
        return 1
    print("The settings can be used.")
    return 0


def values_told(environ: Mapping[str, str] = os.environ) -> str:
    """Every setting, its value, and whether the environment or the default gives it; secrets are hidden."""
    rows = [("setting", "value", "source"), *(_row(setting, environ) for setting in SETTINGS)]
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    return "\n".join("  ".join(map(str.ljust, row, widths)).rstrip() for row in rows)


def _row(setting: Setting, environ: Mapping[str, str]) -> tuple[str, str, str]:
    text = setting.given(environ)
    source = "environment" if text else "default"
    if text and setting.secret:
        return setting.name, HIDDEN, source
    try:
        value = setting.value(environ)
    except ValueError:
        return setting.name, f"{text!r}: cannot be used", source
    shown = ", ".join(value) if isinstance(value, tuple) else value
    return setting.name, "unset" if shown in (None, "") else str(shown), source


def faults_told(faults: Iterable[Fault]) -> str:
    """A line for each fault: its pointer, and what is wrong with what would be allowed."""
    return "\n".join(
        f"{fault.pointer}: {fault.detail.removeprefix(fault.pointer.removeprefix('/') + ': ')}" for fault in faults
    )


def strangers(environ: Mapping[str, str] = os.environ) -> list[str]:
    """A sentence for each variable that looks like a setting and is none: a name misspelt is passed over in silence."""
    names = [setting.name for setting in SETTINGS]
    told = []
    for name in sorted(environ):
        if name.startswith(PREFIX) and name not in names and name not in NO_SETTINGS:
            near = difflib.get_close_matches(name, names, 1)
            told.append(f"{name} is set, but there is no such setting" + (f"; is {near[0]} meant?" if near else "."))
    return told


def table() -> str:
    """All settings as a Markdown table."""
    rows = ["| setting | kind | default | allowed | meaning |", "|---|---|---|---|---|"]
    rows += [f"| `{s.name}` | {s.kind} | {s.default_text} | {s.allowed} | {s.meaning} |" for s in SETTINGS]
    return "\n".join(rows)


def manual() -> str:
    """The manual's page of settings."""
    return f"{_HEAD}{table()}\n"
