"""Loaded by schemathesis' own command: which answers to calls that the document allows are refusals all the same.

Its check that whatever a schema allows is taken stands aside for this one, which asks the same of every call but those
whose refusal is listed here with the reason why JSON Schema cannot tell it.
"""

from __future__ import annotations

import re
from typing import Any

import schemathesis
from schemathesis.specs.openapi.checks import positive_data_acceptance

from worker.styles import STYLES

PROBLEMS = {
    "infeasible": "values that are each allowed may not stand together: a core thicker than its beads",
    "precondition-failed": "`If-Match` and `If-None-Match` are any text; which version is there is no schema's",
    "idempotency-key-reused": "the same key with another request is the caller's own mistake",
}
FAULTS = {
    "address-forbidden": "whether a host is public is a table of networks (RFC 6890), not a form",
    "not-a-text": "which characters print is a table of Unicode",
    "not-a-colour": "CSS Color 4 is a grammar with some 150 names, of which the document tells the name",
    "number-too-large": "in objects that a style's own schema tells of, the document has no ranges for numbers",
    "built-in": "a built-in style has no definition beside it, nor a grade a name",
    "nothing-measured": "with a name beside them, figures may not be left out; without one they may",
    "unknown-plastic": "which plastics a caller keeps changes from call to call",
    "unknown-style": "the same of house styles",
    "not-in-order": "a schema does not compare one member with another: a wall as warm as what is released from it",
    "not-together": "how many colours there may be, and with which shares, hangs on the method",
    "nul": "a text with U+0000 is refused wherever it stands, as half a surrogate pair is",
}
OF_TEXTS = {
    "not-a-length": "a length in words may divide by nought, which a pattern does not see",
    "not-a-station": "the same of a place",
    "out-of-range": "a pattern does not reckon what a length in words comes to",
}
OF_PIECES = {
    "out-of-range": "how far a rod may fall and how slender it must be hangs on its other members",
}

BY_STYLE = re.compile(
    r"/(\d+/)?(params|free|start|goal/nearest|fixed|bounds|defaults|house_style/(fixed|bounds|defaults))(/.*)?"
)
"""Members that a style's own `params_schema` tells of, where the document cannot know which style it is: those of fits
and of definitions of house styles, and of a request for a house style."""
OF_A_FIT = {"free", "maker"}
"""A fit's house style is told as any object: it is read as a bait's is, where the document tells of it in full."""
BUILT_IN_PARAMS = re.compile(r"/(\d+/)?params(/.*)?")


def value_at(body: object, pointer: str) -> object:
    """What an RFC 6901 pointer names; None where there is nothing."""
    for step in pointer.split("/")[1:]:
        name = step.replace("~1", "/").replace("~0", "~")
        if isinstance(body, list) and name.isdecimal() and int(name) < len(body):
            body = body[int(name)]
        elif isinstance(body, dict):
            body = body.get(name)
        else:
            return None
    return body


def is_excused(fault: dict[str, Any], body: object) -> bool:
    """Whether JSON Schema could not have told of this fault."""
    code, pointer = fault["code"], fault["pointer"]
    if code in OF_TEXTS and isinstance(value_at(body, pointer), str):
        return True
    if OF_A_FIT & set(body if isinstance(body, dict) else ()) and pointer.startswith("/house_style"):
        return True
    if BY_STYLE.fullmatch(pointer) and not _is_of_a_built_in_style(pointer, body):
        return True
    return code in FAULTS or (code in OF_PIECES and pointer.startswith("/measurements/"))


def _is_of_a_built_in_style(pointer: str, body: object) -> bool:
    """Whether these are the `params` of a bait in a built-in style, which the document tells of in full."""
    found = BUILT_IN_PARAMS.fullmatch(pointer)
    if found is None:
        return False
    asked = value_at(body, "/" + found[1].rstrip("/")) if found[1] else body
    if not isinstance(asked, dict) or OF_A_FIT & set(asked):
        return False
    return asked.get("style") in STYLES


@schemathesis.check  # type: ignore[untyped-decorator,unused-ignore]
def whatever_is_allowed_is_taken(ctx: Any, response: Any, case: Any) -> bool | None:
    """The check of the library, less what is listed."""
    if response.status_code in (400, 412, 422):
        document = response.json()
        faults = document["errors"]
        if document["type"].rpartition(":")[2] in PROBLEMS or (
            faults and all(is_excused(one, case.body) for one in faults)
        ):
            return None
    found: bool | None = positive_data_acceptance(ctx, response, case)
    return found
