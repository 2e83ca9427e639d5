"""What a house style brings to a request in it: its defaults below what is said, its requirements beside it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from worker.errors import Fault, InvalidRequest
from worker.request.faults import Flaw, invalid
from worker.request.fields import StrictField, refused
from worker.request.house import read_definition
from worker.request.house_shape import NAME
from worker.styles import STYLES
from worker.styles.house import DEFINITION

WHICH = ("grade", "name", "properties")
"""What says which plastic it is: a request that says any of these takes none of them from its house style."""


class StyleNameField(StrictField):
    """The name of a house style: any that no built-in style has."""

    def __init__(self) -> None:
        super().__init__("Style", "A house style of your own, by the name that it is kept under.", required=True)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        if isinstance(value, str) and value in STYLES:
            detail = f"{value} is a built-in style, which is no house style: give it without a definition beside it."
            raise refused(Flaw("built-in", detail, {"not": {"enum": list(STYLES)}}))
        if not isinstance(value, str) or re.fullmatch(NAME, value) is None:
            raise refused(Flaw("not-a-name", "This is the name of a house style.", {"pattern": f"^{NAME}$"}))
        return value

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**self.said, "type": "string", "pattern": f"^{NAME}$", "not": {"enum": list(STYLES)}}


def definition_in(members: Mapping[str, Any]) -> tuple[dict[str, Any] | None, list[Fault]]:
    """The definition in a request as it was sent, in normal form; None where there is none or none that can be used."""
    if members.get(DEFINITION) is None:  # of null the schema tells
        return None, []
    try:
        return _definition(json.dumps(members[DEFINITION])), []
    except InvalidRequest as refused:
        return None, [Fault(f"/{DEFINITION}{one.pointer}", one.code, one.detail, one.allowed) for one in refused.faults]


@lru_cache(maxsize=64)  # the items of a batch, and the calls of a form that is drawn from it, bring the same one
def _definition(text: str) -> dict[str, Any]:
    definition, faults = read_definition(json.loads(text))
    if faults:
        raise invalid(faults)
    return definition


def with_defaults(body: Mapping[str, Any], definition: Mapping[str, Any]) -> dict[str, Any]:
    """The request as it was sent, with the house style's plastic and finish member by member under its own."""
    told = dict(body)
    for name in ("plastic", "finish"):
        ours, said = dict(definition[name]), body.get(name, {})
        if not ours or not isinstance(said, Mapping):
            continue
        if name == "plastic" and any(each in said for each in WHICH):
            ours = {each: value for each, value in ours.items() if each not in WHICH}
        told[name] = {**ours, **said}
    return told


def hold_to(top: dict[str, Any], definition: Mapping[str, Any]) -> None:
    """Put what the house style requires beside what a request in normal form does: of both, the stricter counts."""
    require = top.setdefault("require", {})
    for name, asked in definition["require"].items():
        require[name] = max(asked, require.get(name, asked))
    checks = top.setdefault("checks", {})
    for check, members in definition["checks"].items():
        said = {**checks.get(check, {})}
        for name, limit in members.items():  # a check's limit is the least that passes
            said[name] = max(limit, said.get(name, limit))
        checks[check] = {**said, "silence": False}
