"""Changing a plastic or a house style of the caller's own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Response

from service import own_plastics, own_styles
from service.answers import encode, etag_of, json_answer
from service.backing import backing
from service.changing import Shelf
from service.interfaces import Definitions

Definition = dict[str, Any]


def plastics_shelf() -> Shelf[Definition]:
    """Where the present service keeps plastics of callers' own."""
    return _shelf("plastic", own_plastics.MOST, backing().plastics, own_plastics.described)


def styles_shelf() -> Shelf[Definition]:
    """The same of house styles."""
    return _shelf("house style", own_styles.MOST, backing().styles, own_styles.described)


def answer_kept(shelf: Shelf[Definition], name: str, definition: Definition, told: object, address: str) -> Response:
    """Keep a definition under a name: 200 with what is told of it in place of another, 201 where there was none."""
    before, _ = shelf.change(name, lambda present: definition)
    answer = json_answer(told, 201 if before is None else 200, {"ETag": shelf.tag(name, definition)})
    if before is None:
        answer.headers["Location"] = address
    return answer


def _shelf(
    called: str, most: int, kept: Definitions, described: Callable[[str, Definition], object]
) -> Shelf[Definition]:
    """A version's entity tag is that of what `GET` tells of it."""
    return Shelf(
        called,
        most,
        kept.get,
        lambda caller: len(kept.all(caller)),
        kept.swap,
        lambda name, definition: etag_of(encode(described(name, definition))),
    )
