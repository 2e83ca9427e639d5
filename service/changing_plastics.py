"""Changing a plastic of the caller's own."""

from __future__ import annotations

from collections.abc import Callable

from service.answers import encode, etag_of
from service.backing import backing
from service.changing import Shelf
from service.own_plastics import MOST, Definition, described


def change_plastic(
    name: str, wanted: Callable[[Definition | None], Definition | None]
) -> tuple[Definition | None, Definition | None]:
    """See `Shelf.change`."""
    plastics = backing().plastics
    shelf = Shelf("plastic", MOST, plastics.get, lambda caller: len(plastics.all(caller)), plastics.swap, version_of)
    return shelf.change(name, wanted)


def version_of(name: str, definition: Definition) -> str:
    """The entity tag of a plastic as `GET` tells it."""
    return etag_of(encode(described(name, definition)))
