"""The file in which keys are kept: JSON, of this user alone, written aside and moved in by one rename.

A file and not the store: keys must be there before the first start and while the store is away, a finished bait is
served without asking the store, and what stands here are digests, so that several hosts can have one file handed out
to them as they have their other settings.

Where the file has once been, keys are asked for, be the last of them revoked or expired; only who has no such file at
all is the caller `local`.
"""

from __future__ import annotations

import fcntl
import json
import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from service.keys.key import Key
from service.scopes import Scope
from worker.errors import Fault, SettingsInvalid
from worker.settings import Settings

FORM = 1


def keys_file(settings: Settings) -> Path:
    """Where the keys of these settings are kept."""
    return settings.keys_file or settings.state_dir / "keys.json"


class KeyBook:
    """The keys in one file, for the command. Raises SettingsInvalid where the file cannot be read or written."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def read(self) -> dict[str, Key] | None:
        """Every key by its id; None where there is no file."""
        try:
            return read_keys(self._path)
        except (OSError, ValueError) as reason:
            detail = f"The keys in {self._path} cannot be read: {in_words(reason)}"
            raise SettingsInvalid(detail, [Fault("/POURWRIGHT_KEYS_FILE", "unreadable", detail)]) from reason

    def add(self, key: Key) -> None:
        """Keep one more, durably."""
        with self._held() as keys:
            keys[key.id] = key

    def revoke(self, key_id: str, now: datetime) -> Key | None:
        """Note that a key opens nothing any more; None where there is none of this id."""
        with self._held() as keys:
            if (known := keys.get(key_id)) is None:
                return None
            keys[key_id] = known if known.revoked else replace(known, revoked=now)
            return keys[key_id]

    @contextmanager
    def _held(self) -> Iterator[dict[str, Key]]:
        """The keys, to be changed by one command at a time; written when the block ends."""
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            folder = os.open(self._path.parent, os.O_RDONLY)
            try:
                fcntl.flock(folder, fcntl.LOCK_EX)
                keys = self.read() or {}
                before = dict(keys)
                yield keys
                if keys != before:
                    _write(self._path, keys.values())
                    os.fsync(folder)
            finally:
                os.close(folder)
        except OSError as reason:
            raise SettingsInvalid(f"The keys in {self._path} cannot be written: {in_words(reason)}") from reason


def read_keys(path: Path) -> dict[str, Key] | None:
    """Every key by its id; None where there is no file. Raises OSError or ValueError."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return None
    try:
        told = json.loads(content)
        if told["form"] != FORM:
            raise ValueError(f"it is of form {told['form']!r} and not {FORM}")
        keys = [_key(one) for one in told["keys"]]
    except (KeyError, TypeError, AttributeError) as reason:
        raise ValueError("a member is missing or of another type than we write") from reason
    return {key.id: key for key in keys}


def in_words(reason: Exception) -> str:
    """A fault without the file's content: a digest has no place in a message."""
    if isinstance(reason, OSError):
        return reason.strerror or type(reason).__name__
    return "it is not JSON" if isinstance(reason, json.JSONDecodeError | UnicodeDecodeError) else str(reason)


def _key(told: Mapping[str, Any]) -> Key:
    return Key(
        id=str(told["id"]),
        caller=str(told["caller"]),
        scopes=frozenset(Scope(name) for name in told["scopes"]),
        label=str(told["label"]),
        digest=str(told["digest"]),
        created=datetime.fromisoformat(told["created"]),
        expires=_moment(told["expires"]),
        revoked=_moment(told["revoked"]),
    )


def _moment(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)


def _write(path: Path, keys: Iterable[Key]) -> None:
    members = ("id", "caller", "label", "digest")
    moments = ("created", "expires", "revoked")
    told = [
        {name: getattr(key, name) for name in members}
        | {"scopes": sorted(key.scopes)}
        | {name: moment.isoformat() if (moment := getattr(key, name)) else None for name in moments}
        for key in keys
    ]
    # Made for its owner alone (mkstemp: 0600), and there whole or not at all.
    descriptor, aside = tempfile.mkstemp(prefix=".keys-", dir=path.parent)
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8") as file:
            json.dump({"form": FORM, "keys": told}, file, indent=2, ensure_ascii=False)
            file.flush()
            os.fsync(file.fileno())
        os.replace(aside, path)
    except BaseException:
        with suppress(FileNotFoundError):
            os.unlink(aside)
        raise
