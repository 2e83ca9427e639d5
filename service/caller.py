"""Who asks. Everything that is kept belongs to a caller; without keys there is one, `local`."""

from __future__ import annotations

from dataclasses import dataclass

from flask import g, request

LOCAL = "local"


@dataclass(frozen=True, slots=True)
class Caller:
    """The owner of what this request makes, sees and removes."""

    name: str


def identify_caller() -> None:
    """Run before every request: settle who asks."""
    g.caller = Caller(LOCAL)


def current_caller() -> Caller:
    """The caller of the request that is being answered."""
    caller = g.caller
    assert isinstance(caller, Caller), f"no caller was settled for {request.path}"
    return caller
