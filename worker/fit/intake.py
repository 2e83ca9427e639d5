"""Maker's terms turned into a fit: the rules' document under what the request says itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError

from worker.errors import Fault
from worker.fit.axes import PLASTIC, free_parameters
from worker.fit.figures import FIGURES
from worker.fit.makers_terms import MAKER
from worker.fit.rules import document_of
from worker.fit.rules_table import TEST_PIECES
from worker.request.housed import definition_in
from worker.styles import STYLES
from worker.styles.house import DEFINITION, house_style
from worker.styles.style import Style


@dataclass(frozen=True)
class Intake:
    """`document` is what is read. Where its maker's terms cannot be read, it stays as it was sent (`unread`)."""

    document: object
    unread: bool = False

    def excuses(self, fault: Fault) -> bool:
        """Whether a fault is that of a member which the rules would have written, had they been asked rightly."""
        if not self.unread:
            return False
        nothing_free = (
            fault.code == "not-so-many" and isinstance(self.document, Mapping) and "free" not in self.document
        )
        return nothing_free or (fault.code == "missing" and fault.pointer == "/style")


def with_makers_terms(body: object) -> Intake:
    """The request with what the rules make of its `maker`; what it says itself stays."""
    if not isinstance(body, Mapping) or "maker" not in body:
        return Intake(body)
    try:
        maker = MAKER.load(body["maker"])
    except ValidationError:
        return Intake(body, unread=True)
    asked = body.get("style")
    if DEFINITION in body:
        definition, _ = definition_in(body)
        if definition is None:
            return Intake(body, unread=True)
        style = house_style(str(asked), definition)
        return Intake(_under(_allowed(document_of(maker, style.built_in), style), body))
    if asked is not None and (not isinstance(asked, str) or asked not in STYLES or asked in TEST_PIECES):
        return Intake(body, unread=True)
    return Intake(_under(document_of(maker, asked), body))


def _allowed(rules: Mapping[str, Any], style: Style) -> dict[str, Any]:
    """What the rules give, as far as a house style allows it: without what it holds fast, and within its bounds."""
    declared = free_parameters(style)
    told = {name: dict(rules.get(name, {})) for name in ("params", "free", "start")}
    for values in (told["params"], told["start"]):
        for name in (name for name in list(values) if name not in PLASTIC):
            if name not in declared:
                del values[name]
            elif declared[name].kind != "choice":
                values[name] = min(max(values[name], declared[name].minimum), declared[name].maximum)
            elif values[name] not in declared[name].choices:
                del values[name]
    free = told["free"]
    for name in list(free):
        if name not in declared:
            del free[name]
        elif name not in PLASTIC and declared[name].kind != "choice":
            bounds = {"minimum": declared[name].minimum, "maximum": declared[name].maximum}
            told_of = {**bounds, **free[name]}
            least, most = max(told_of["minimum"], bounds["minimum"]), min(told_of["maximum"], bounds["maximum"])
            free[name] = {**told_of, **({"minimum": least, "maximum": most} if least <= most else bounds)}
    return {**rules, **told}


def _under(rules: Mapping[str, Any], body: Mapping[str, Any]) -> dict[str, Any]:
    """`rules` with the request's members over them; what the request fixes or frees itself, they leave alone."""
    params, free, start = (dict(rules.get(name, {})) for name in ("params", "free", "start"))
    told = {name: body.get(name, {}) for name in ("params", "free", "plastic")}
    own = {name: set(each) if isinstance(each, Mapping) else set() for name, each in told.items()}
    taken = own["params"] | own["free"] | own["plastic"]
    ours = {
        "params": {name: value for name, value in params.items() if name not in taken},
        "free": {name: value for name, value in free.items() if name not in taken},
        "start": {name: value for name, value in start.items() if name not in taken},
    }
    return _merged({**rules, **ours}, body)


def _merged(below: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Objects member by member; all else as `over` says, null too: it is refused later, at its own place.

    What is asked of one figure is the request's or the rules', never both: together they could be no bound at all.
    """
    result = dict(below)
    for name, value in over.items():
        under = result.get(name)
        one_of = name in ("goal", "rig", "front") or name in FIGURES
        both = isinstance(value, Mapping) and isinstance(under, Mapping) and not one_of
        result[name] = _merged(under, value) if both else value  # type: ignore[arg-type]
    return result
