"""`python -m service.keys make | list | revoke`: keys, kept as digests in the state folder."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta

from service.keys.book import KeyBook, keys_file
from service.keys.key import Key, new_key
from service.scopes import SCOPES, Scope
from worker.console import run
from worker.errors import SettingsInvalid
from worker.settings import load

LONGEST_DAYS = 36_500


def main(arguments: list[str] | None = None) -> int:
    """0; 1 where what is asked cannot be done, 2 where it cannot be understood."""
    asked = _parser().parse_args(arguments)
    try:
        path = keys_file(load())
        book = KeyBook(path)
        now = datetime.now(UTC).replace(microsecond=0)
        if asked.what == "make":
            return _make(book, asked, now)
        if asked.what == "revoke":
            return _revoke(book, asked.id, now)
        keys = book.read()
        print(f"There are no keys in {path}: every call is the caller `local`." if keys is None else _table(keys, now))
        return 0
    except SettingsInvalid as invalid:
        print(invalid.detail, file=sys.stderr)
        return 1


def _make(book: KeyBook, asked: argparse.Namespace, now: datetime) -> int:
    first = book.read() is None
    try:
        key, token = new_key(asked.caller, asked.scopes, asked.label, now, _expiry(asked.expires, now))
    except ValueError as reason:
        print(f"No key was made: {reason}.", file=sys.stderr)
        return 1
    book.add(key)
    until = f"until {key.expires.isoformat()}" if key.expires else "until it is revoked"
    said = [f"Key {key.id} of caller {key.caller} opens {', '.join(sorted(key.scopes))} {until}. It is shown once:"]
    if first:
        said.insert(0, "From now on every call needs a key. What was built without one belongs to the caller `local`.")
    print("\n".join(said), file=sys.stderr, flush=True)
    print(token)  # alone on standard output: KEY=$(python -m service.keys make ...)
    return 0


def _revoke(book: KeyBook, key_id: str, now: datetime) -> int:
    key = book.revoke(key_id, now)
    if key is None:
        print(f"There is no key {key_id}; `list` shows those that there are.", file=sys.stderr)
        return 1
    print(f"Key {key.id} of caller {key.caller} is revoked; the service refuses it from the next call on.")
    return 0


def _table(keys: dict[str, Key], now: datetime) -> str:
    rows = [("key", "caller", "opens", "state", "made", "expires", "label")]
    for key in sorted(keys.values(), key=lambda one: (one.caller, one.created, one.id)):
        expires = key.expires.isoformat() if key.expires else "never"
        opens = ",".join(scope for scope in SCOPES if scope in key.scopes)
        rows.append((key.id, key.caller, opens, key.state(now), key.created.isoformat(), expires, key.label))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join("  ".join(map(str.ljust, row, widths)).rstrip() for row in rows)


def _expiry(text: str | None, now: datetime) -> datetime | None:
    """`90d`, or `2027-01-31`, which is its last day. Raises ValueError."""
    if text is None:
        return None
    if days := re.fullmatch(r"([1-9][0-9]{0,4})d", text, re.ASCII):
        if int(days[1]) > LONGEST_DAYS:
            raise ValueError(f"a key lasts at most {LONGEST_DAYS} days; leave --expires out for one that does not end")
        return now + timedelta(days=int(days[1]))
    try:
        expires = datetime.combine(date.fromisoformat(text) + timedelta(days=1), time(), UTC)
    except (ValueError, OverflowError):
        raise ValueError(f"--expires {text!r} is neither a number of days (90d) nor a date (2027-01-31)") from None
    if expires <= now:
        raise ValueError(f"--expires {text} has passed")
    return expires


def _scopes(text: str) -> Iterable[Scope]:
    try:
        return frozenset(Scope(name.strip()) for name in text.split(","))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a list of {', '.join(SCOPES)}") from None


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m service.keys", description="Keys that callers send.")
    commands = parser.add_subparsers(dest="what", required=True)
    make = commands.add_parser("make", help="make a key; its token is shown this once")
    make.add_argument("--caller", required=True, help="whose it is: up to 64 of a-z, 0-9, _ and -")
    opened = "what it opens, parted by commas: read, build, admin (read,build)"
    make.add_argument("--scopes", type=_scopes, default="read,build", help=opened)
    make.add_argument("--expires", help="when it ends: days (90d), or its last day in UTC (2027-01-31)")
    make.add_argument("--label", default="", help="a note for the list: where the key is used")
    commands.add_parser("list", help="every key, without its token")
    revoke = commands.add_parser("revoke", help="refuse a key from the next call on")
    revoke.add_argument("id", help="the key's id: the twelve digits in the middle of its token")
    return parser


if __name__ == "__main__":
    sys.exit(run(main))
