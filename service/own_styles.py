"""House styles of callers' own: kept in the store by caller and name, and put into requests that name them."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from service.backing import backing
from service.caller import current_caller
from service.errors import NameTaken
from service.names import require_name
from service.own_plastics import own_plastics, unknown_plastic
from worker.errors import Fault, RequestRejected
from worker.request.faults import invalid
from worker.request.house import defining, read_kept
from worker.request.identity import digest
from worker.styles import STYLES
from worker.styles.house import DEFINITION, house_style

MOST = 200
"""House styles that one caller may keep."""

Definition = dict[str, Any]
OwnStyles = Mapping[str, Definition]


def read_style(name: str, body: object) -> Definition:
    """What is kept of a house style, in normal form.

    Raises InvalidRequest with every fault at once, or InfeasibleRequest where its defaults cannot stand together.
    """
    unknown = _unknown_plastic(body)
    try:
        kept = read_kept(name, body)
    except RequestRejected as refused:
        if unknown is None:
            raise
        raise invalid([*refused.faults, unknown], "The house style has") from None
    if unknown is not None:
        raise invalid([unknown], "The house style has")
    return kept


def _unknown_plastic(body: object) -> Fault | None:
    """A plastic that nobody keeps at present: better told now than of every request in the style."""
    plastic = body.get("plastic") if isinstance(body, Mapping) else None
    named = plastic.get("name") if isinstance(plastic, Mapping) else None
    if not isinstance(named, str) or named in (own := own_plastics()):
        return None
    return unknown_plastic(named, own)


def require_own_style_name(name: str) -> None:
    """Raise NameTaken for a built-in style's name, and InvalidRequest for one that cannot be a name."""
    if name in STYLES:
        raise NameTaken(
            f"{name} is a built-in style, the same for all; keep one of your own with PUT, by another name."
        )
    require_name(name, "house style")


def described(name: str, kept: Definition) -> dict[str, object]:
    """As `GET /v1/styles/{name}` tells it: as any style, and how it was defined."""
    return _described(name, json.dumps(kept))


@lru_cache(maxsize=256)  # the strands of an example take longer than all the rest of an answer
def _described(name: str, text: str) -> dict[str, object]:
    kept = json.loads(text)
    told = house_style(name, kept).describe()
    return {**told, "base": kept["base"], "definition": kept, "digest": digest(defining(kept))}


def own_styles() -> OwnStyles:
    """All that the present caller keeps, by name."""
    return backing().styles.all(current_caller().name)


def with_own_style(body: object, own: Callable[[], OwnStyles] | None = None) -> tuple[object, tuple[Fault, ...]]:
    """The request with the definition of the house style that it names, as the caller keeps it now.

    As with a plastic, a request is whole by itself, and a name with a definition beside it is read as it stands. Of a
    name that no style is kept under, the request as it is and the fault.
    """
    name = body.get("style") if isinstance(body, Mapping) else None
    if not isinstance(body, Mapping) or not isinstance(name, str) or {DEFINITION, "strands"} & set(body):
        return body, ()
    if name in STYLES:
        return body, ()
    kept = backing().styles.get(current_caller().name, name) if own is None else own().get(name)
    if kept is None:
        names = [*STYLES, *(own or own_styles)()]
        detail = "There is no style of this name, built in or your own; keep one with PUT /v1/styles/{style}."
        return body, (Fault("/style", "unknown-style", detail, {"choices": names}),)
    return {**body, DEFINITION: defining(kept)}, ()
