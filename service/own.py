"""Reading a request whose style and plastic may be the caller's own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from service.own_plastics import OwnPlastics, with_own_plastic
from service.own_styles import OwnStyles, with_own_style
from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.request.faults import invalid
from worker.request.housed import definition_in, with_defaults
from worker.styles.house import DEFINITION

Asked = TypeVar("Asked")


def read_own(
    body: object,
    read: Callable[[object], Asked],
    styles: Callable[[], OwnStyles] | None = None,
    plastics: Callable[[], OwnPlastics] | None = None,
) -> Asked:
    """What `read` makes of a request, once what the caller keeps stands in it; raises as it does.

    `styles` and `plastics` give all that the caller keeps, to who reads many requests.
    """
    styled, no_style = with_own_style(body, styles)
    whole, no_plastic = with_own_plastic(_with_plastic(styled), plastics)
    unknown = (*no_style, *(_at_who_names_it(fault, body) for fault in no_plastic))
    if unknown:
        told = {fault.pointer for fault in (*unknown, *no_plastic)}  # the house style's plastic is read again with it
        raise invalid([*unknown, *(fault for fault in _others(whole, read) if fault.pointer not in told)])
    return read(whole)


def _with_plastic(body: object) -> object:
    """The request with its house style's plastic in it: that may be one of the caller's own too."""
    if not isinstance(body, Mapping) or DEFINITION not in body:
        return body
    definition, _ = definition_in(body)
    return body if definition is None else with_defaults(body, definition)


def _at_who_names_it(fault: Fault, body: object) -> Fault:
    """An unknown plastic where the request names it: itself, by the definition that it brings, or by its style."""
    assert isinstance(body, Mapping)
    said = body.get("plastic")
    if isinstance(said, Mapping) and "name" in said:
        return fault
    if DEFINITION in body:
        return replace(fault, pointer=f"/{DEFINITION}{fault.pointer}")
    detail = (
        "This house style is poured of a plastic of yours that is no longer kept: keep it again with "
        "PUT /v1/plastics/{name}, put the style anew with another, or name a `grade` in the request's own `plastic`."
    )
    return replace(fault, pointer="/style", detail=detail)


def _others(body: object, read: Callable[[object], Any]) -> tuple[Fault, ...]:
    """What else is wrong with the request, so that every fault is told at once."""
    try:
        read(body)
    except InvalidRequest as refused:
        return refused.faults
    except InfeasibleRequest:
        return ()
    return ()
