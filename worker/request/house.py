"""Reading the definition of a house style: every fault in it at once, and its normal form."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, cast

from marshmallow import ValidationError

from worker.errors import Fault, InfeasibleRequest
from worker.request.composed import StrictSchema
from worker.request.faults import Flaw, faults_in, invalid, pointer
from worker.request.house_shape import BY_BASE, DEFINING, KEPT, WORDS, bounds_of, values_of
from worker.styles import STYLES
from worker.styles.house import house_style, narrowed, narrowed_rows
from worker.styles.style import Style
from worker.values.parameter import Parameter, Unacceptable
from worker.values.rows import Rows


def read_kept(name: str, body: object) -> dict[str, Any]:
    """What is kept under a name, in normal form.

    Raises InvalidRequest with every fault at once, or InfeasibleRequest where its own defaults cannot stand together.
    """
    kept, faults = read_definition(body, KEPT)
    if faults:
        raise invalid(faults, "The house style has")
    style = house_style(name, kept)
    found = STYLES[style.built_in].infeasible(style.defaults())  # with the base's ranges: they may be changed here
    impossible = tuple(_placed(fault, kept) for fault in found)
    if impossible:
        raise InfeasibleRequest(" ".join(fault.detail for fault in impossible), impossible)
    return kept


def read_definition(body: object, of: StrictSchema = DEFINING) -> tuple[dict[str, Any], list[Fault]]:
    """A definition in normal form as far as it can be read, and every fault in it."""
    faults: list[Fault] = []
    read: dict[str, Any] = {}
    try:
        read = of.load(cast("Mapping[str, Any]", body))
    except ValidationError as error:
        faults += faults_in(error.messages)
        read = cast("dict[str, Any]", error.valid_data if isinstance(error.valid_data, dict) else {})
    base = STYLES.get(str(read.get("base")))
    members = body if isinstance(body, Mapping) else {}
    for name, schema_of in (("fixed", values_of), ("bounds", bounds_of), ("defaults", values_of)):
        sent = members.get(name, {})
        read[name] = {}
        if base is None or sent is None:  # told already
            continue
        try:
            read[name] = schema_of(base).load(sent)
        except ValidationError as error:
            below = list(faults_in(error.messages, name))
            faults += below
            valid = error.valid_data if isinstance(error.valid_data, dict) else {}
            read[name] = _sound(valid, below)
    if base is not None:
        told = {fault.pointer for fault in faults}
        faults += (fault for fault in _against(base, read) if fault.pointer not in told)
    return read, faults


def _sound(valid: Mapping[str, Any], faults: list[Fault]) -> dict[str, Any]:
    """Without what is wrong in part, of which marshmallow gives the rest: that is no range to hold others to."""
    read = {name: dict(value) if isinstance(value, dict) else value for name, value in valid.items()}
    for fault in faults:
        _, _, name, member, *_ = *fault.pointer.split("/"), "", ""
        members = read.get(name)
        if isinstance(members, dict) and member not in ("", "minimum", "maximum", "choices"):
            members.pop(member, None)  # one member of a list's objects
        else:
            read.pop(name, None)
    return read


def _against(base: Style, read: Mapping[str, Any]) -> Iterator[Fault]:
    """Where a definition contradicts its base or itself."""
    fixed, bounds, defaults = (read[name] for name in BY_BASE)
    for place in ("bounds", "defaults"):
        for name in (name for name in read[place] if name in fixed):
            detail = f"{name} is held fast in `fixed`; it needs nothing beside that."
            yield Fault(pointer(place, name), "one-or-the-other", detail, {"members": ["fixed"]})
    for parameter in base.parameters:
        name = parameter.name
        if name not in bounds or name in fixed:
            continue
        given = name in defaults
        if isinstance(parameter, Rows):
            value, place = defaults.get(name, parameter.written()), ("defaults" if given else "bounds")
            inside = narrowed_rows(parameter, bounds[name])
            yield from _rows_outside(inside, value, place, given=given)
            continue
        flaw = _outside(narrowed(parameter, bounds[name]), defaults.get(name, parameter.default), given=given)
        if flaw is not None:
            yield Fault(pointer("defaults" if given else "bounds", name), flaw.code, flaw.detail, flaw.allowed)


def _outside(inside: Parameter, value: Any, *, given: bool) -> Flaw | None:
    try:
        inside.parse(value)
    except Unacceptable as error:
        if given:
            return Flaw(error.code, f"{error}.", inside.allowed())
        detail = f"The base's default, {value}, is outside of these; give another in `defaults`, or hold it in `fixed`."
        return Flaw("default-outside", detail, {"members": ["defaults", "fixed"]})
    return None


def _rows_outside(inside: Rows, rows: list[dict[str, Any]], place: str, *, given: bool) -> Iterator[Fault]:
    told = set()
    for number, row in enumerate(rows):
        for member in inside.members:
            flaw = _outside(member, row[member.name], given=given)
            at = pointer(place, inside.name, *((number,) if given else ()), member.name)
            if flaw is not None and at not in told:
                told.add(at)
                yield Fault(at, flaw.code, flaw.detail, flaw.allowed)


def _placed(fault: Fault, kept: Mapping[str, Any]) -> Fault:
    """A fault of the style's own defaults, at what the definition says of it."""
    found = re.fullmatch(r"/params/([^/]+)(.*)", fault.pointer)
    name, below = (found[1], found[2]) if found else ("", "")
    place = next((place for place in ("fixed", "defaults", "bounds") if name in kept[place]), "base")
    where = "/base" if place == "base" else f"/{place}/{name}{below if place != 'bounds' else ''}"
    return Fault(where, fault.code, fault.detail, fault.allowed)


def defining(kept: Mapping[str, Any]) -> dict[str, Any]:
    """The definition in what is kept: what a bait hangs on."""
    return {name: member for name, member in kept.items() if name not in WORDS}
