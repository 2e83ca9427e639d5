"""Changing a plastic or a house style of the caller's own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service import own_plastics, own_styles
from service.answers import encode, etag_of
from service.backing import backing
from service.changing import Shelf
from service.interfaces import Definitions

Definition = dict[str, Any]
Change = Callable[[Definition | None], Definition | None]
Changed = tuple[Definition | None, Definition | None]


def change_plastic(name: str, wanted: Change) -> Changed:
    """See `Shelf.change`."""
    return _shelf("plastic", own_plastics.MOST, backing().plastics, version_of).change(name, wanted)


def change_style(name: str, wanted: Change) -> Changed:
    """See `Shelf.change`."""
    return _shelf("house style", own_styles.MOST, backing().styles, version_of_style).change(name, wanted)


def version_of(name: str, definition: Definition) -> str:
    """The entity tag of a plastic as `GET` tells it."""
    return etag_of(encode(own_plastics.described(name, definition)))


def version_of_style(name: str, kept: Definition) -> str:
    """The entity tag of a house style as `GET` tells it."""
    return etag_of(encode(own_styles.described(name, kept)))


def _shelf(called: str, most: int, kept: Definitions, tag: Callable[[str, Definition], str]) -> Shelf[Definition]:
    return Shelf(called, most, kept.get, lambda caller: len(kept.all(caller)), kept.swap, tag)
