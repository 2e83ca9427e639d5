"""Strict JSON: what RFC 8259 allows and RFC 7493 (I-JSON) recommends, and nothing else."""

from __future__ import annotations

import codecs
import json
import math
import re
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import accumulate
from typing import NoReturn, cast

from worker.errors import Fault, MalformedRequest

DEEPEST = 32
LONGEST_NUMBER = 400  # characters; beyond it a number says nothing that a maker could mean


class _Refused(ValueError):
    """Raised inside the decoder's hooks; carries the code of the fault."""

    def __init__(self, code: str, detail: str) -> None:
        super().__init__(detail)
        self.code = code


def parse_json(raw: bytes, deepest: int = DEEPEST) -> object:
    """The value of a JSON text.

    Raises MalformedRequest for text that is not UTF-8, not JSON, holds duplicate members, NaN, an infinite number
    (1e400), a NUL or a lone surrogate, or is nested deeper than `deepest`.
    """
    if not raw.strip(b" \t\n\r"):
        _refuse("not-json", "The body is empty; it is to be a JSON text.")
    if raw.startswith(codecs.BOM_UTF8):  # RFC 8259, 8.1: a text that is sent has none
        _refuse("not-json", "The body begins with a byte order mark; write it as UTF-8 without one.")
    text = _decoded(raw)
    if _depth(text) > deepest:
        _refuse("too-deep", f"The body is nested deeper than {deepest} levels.")
    with _told_as_ours():
        return cast(object, _decoder().decode(text))


def parse_items(raw: bytes, deepest: int = DEEPEST) -> Iterator[object] | None:
    """The items of a JSON array one by one, as `parse_json` would read each alone; None where the text is no array.

    What is not asked for is not read. Asking raises MalformedRequest as above.
    """
    text = _decoded(raw)
    return _items(text, deepest) if text.startswith("[", _blanks_end(text, 0)) else None


def _items(text: str, deepest: int) -> Iterator[object]:
    decoder = _decoder()
    at = _blanks_end(text, 0) + 1
    at = _blanks_end(text, at)
    more = text[at : at + 1] != "]"
    while more:
        with _told_as_ours():
            value, end = decoder.raw_decode(text, at)
            _checked(value)
        if _depth(text[at:end]) > deepest:
            _refuse("too-deep", f"An item is nested deeper than {deepest} levels.")
        at = _blanks_end(text, end)
        yield value
        more = text[at : at + 1] == ","
        if more:
            at = _blanks_end(text, at + 1)
    with _told_as_ours():
        if text[at : at + 1] != "]":
            raise json.JSONDecodeError("Expecting ',' delimiter", text, at)
        if (end := _blanks_end(text, at + 1)) != len(text):
            raise json.JSONDecodeError("Extra data", text, end)


def _blanks_end(text: str, at: int) -> int:
    found = _BLANKS.match(text, at)
    assert found is not None
    return found.end()


def _decoded(raw: bytes) -> str:
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        _refuse("not-utf-8", f"The body is not UTF-8: byte {error.start} cannot be read.")


@contextmanager
def _told_as_ours() -> Iterator[None]:
    try:
        yield
    except _Refused as error:
        _refuse(error.code, str(error))
    except RecursionError:
        _refuse("too-deep", "The body is nested deeper than anything that we take.")
    except ValueError as error:
        _refuse("not-json", f"The body is not JSON: {error}.")


def _decoder() -> json.JSONDecoder:
    return json.JSONDecoder(object_pairs_hook=_members, parse_constant=_constant, parse_float=_finite, parse_int=_whole)


def _refuse(code: str, detail: str) -> NoReturn:
    raise MalformedRequest(detail, [Fault("", code, detail)])


# RFC 8259, 2: these and no others, so it always matches, if only nothing.
_BLANKS = re.compile(r"[ \t\n\r]*+")
# Possessive, and content with a text cut short: no input makes it go over the same characters twice.
_STRING = re.compile(r'"(?:[^"\\]++|\\.)*+"?', re.DOTALL)
_STEPS = {"[": 1, "{": 1, "]": -1, "}": -1}


def _depth(text: str) -> int:
    """Deepest nesting, brackets inside strings left out. Runs before the decoder, which recurses."""
    brackets = (_STEPS[character] for character in _STRING.sub("", text) if character in _STEPS)
    return max(accumulate(brackets), default=0)


def _members(pairs: list[tuple[str, object]]) -> dict[str, object]:
    members: dict[str, object] = {}
    for name, value in pairs:
        if name in members:
            raise _Refused("duplicate-member", f"The member {name!r} stands twice in one object.")
        _check_text(name)
        members[name] = _checked(value)
    return members


def _checked(value: object) -> object:
    if isinstance(value, str):
        _check_text(value)
    elif isinstance(value, list):
        for item in value:
            _checked(item)
    return value


def _check_text(text: str) -> None:
    if "\x00" in text:
        raise _Refused("nul", "A text holds a NUL character.")
    if any("\ud800" <= character <= "\udfff" for character in text):
        raise _Refused("lone-surrogate", "A text holds half of a surrogate pair.")


def _constant(name: str) -> NoReturn:
    raise _Refused("not-a-number", f"{name} is not JSON.")


def _finite(text: str) -> float:
    value = float(text)
    if len(text) > LONGEST_NUMBER or not math.isfinite(value):
        raise _Refused("number-too-large", f"The number {text[:40]} is too large to be read.")
    return value


def _whole(text: str) -> int:
    # RFC 7493 section 2.2: beyond 2**53 a number is not read the same everywhere.
    if len(text) > 17 or abs(int(text)) > 2**53:
        raise _Refused("number-too-large", f"The number {text[:40]} is too large to be read.")
    return int(text)
