"""Keys in the document: the scheme, and for each call scope and rate by the rules that the service itself keeps to."""

from __future__ import annotations

from typing import Any

from service.counting import COUNTED
from service.openapi.calls.call import Item
from service.openapi.responses import problem_answers
from service.scopes import scope_of

KEY = "key"

_METHODS = ("get", "head", "post", "put", "delete")


def security_schemes() -> dict[str, Any]:
    """`components.securitySchemes`."""
    return {
        KEY: {
            "type": "http",
            "scheme": "bearer",
            "bearerFormat": "pourwright_{12 digits}_{43 characters}",
            "description": "A key as RFC 6750 sends it. Keys are made by a command on the service's machine. A "
            "service without any takes every call as the one caller `local`.",
        }
    }


def guarded(paths: dict[str, Item]) -> dict[str, Item]:
    """Every call with the scope that its key needs, and the answers to a call without it or beyond its rate."""
    return {
        address: {
            method: _guarded(operation, method.upper(), address) if method in _METHODS else operation
            for method, operation in item.items()
        }
        for address, item in paths.items()
    }


def _guarded(operation: Item, method: str, address: str) -> Item:
    scope = scope_of(method, address)
    if scope is None:
        return {**operation, "security": []}
    counted = (method, address.replace("{", "<").replace("}", ">")) in COUNTED
    # A service with keys can always be without its file for a moment, and says 503 then.
    answers = operation["responses"] | problem_answers(401, 403, 421, 503, *([429] if counted else []))
    head = {name: operation[name] for name in operation if name != "responses"}
    ordered = dict(sorted(answers.items()))
    # The second, empty alternative is the service without keys.
    return {**head, "security": [{KEY: [str(scope)]}, {}], "responses": ordered}
