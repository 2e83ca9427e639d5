"""Changing a plastic of the caller's own: under the request's conditions, and never over somebody else's change."""

from __future__ import annotations

from collections.abc import Callable

from flask import request
from werkzeug.exceptions import PreconditionFailed

from service.answers import encode, etag_of
from service.backing import backing
from service.caller import current_caller
from service.conditional import require_match, require_no_match
from service.errors import Full
from service.own_plastics import MOST, Definition, described
from worker.errors import Busy

TRIES = 8
"""How often a change is begun anew because another came first."""


def change_plastic(
    name: str, change: Callable[[Definition | None], Definition | None]
) -> tuple[Definition | None, Definition | None]:
    """What was kept and what is kept now; None: nothing.

    `change` gives the new from the present and may raise; it is asked anew where another writer came in between, and so
    are the conditions. Raises PreconditionFailed (412), Full or Busy.
    """
    caller, plastics = current_caller().name, backing().plastics
    for _ in range(TRIES):
        present = plastics.get(caller, name)
        wanted = change(present)
        _require_conditions(name, present)
        if present is None and len(plastics.all(caller)) >= MOST:
            raise Full(f"A caller keeps up to {MOST} plastics; remove one first.")
        if plastics.swap(caller, name, present, wanted):
            return present, wanted
    raise Busy("Others change this plastic all the time; try again.")


def version_of(name: str, definition: Definition) -> str:
    """The entity tag of a plastic as `GET` tells it."""
    return etag_of(encode(described(name, definition)))


def _require_conditions(name: str, present: Definition | None) -> None:
    """`If-Match` and `If-None-Match` before a change (RFC 9110, 13.1): 412 where they do not hold."""
    if present is not None:
        tag = version_of(name, present)
        require_match(request, tag)
        require_no_match(request, tag)
    elif "If-Match" in request.headers:
        raise PreconditionFailed("There is no such plastic; If-Match asks for one.")
