"""A request as everything downstream sees it: validated, in normal form, with its identity."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, cast

from marshmallow import ValidationError

from worker.errors import Fault, InfeasibleRequest
from worker.open_form.bait import OpenBait
from worker.request.bounds import too_fine, too_long
from worker.request.composed import StrictSchema
from worker.request.faults import faults_in, invalid
from worker.request.housed import definition_in, hold_to, with_defaults
from worker.request.identity import bait_id
from worker.request.merging import merged
from worker.request.mould import default_mould, mould_faults
from worker.request.schema import housed_schema, open_schema, params_schema, styled_schema
from worker.request.shop import completed
from worker.request.together import faults_of
from worker.styles import STYLES
from worker.styles.bait import Bait, StyledBait
from worker.styles.house import DEFINITION, house_style, style_of
from worker.styles.style import Params, Style
from worker.values.questions import CHECKS, NOTCH_ROUNDING

COARSER = 8.0
"""Tolerance of a preview over the one asked for."""


@dataclass(frozen=True)
class Request:
    """`normal` is the normal form (all members but the label, defaults written, lengths in mm); JSON-ready."""

    normal: dict[str, Any]
    label: str | None = None

    @classmethod
    def from_normal(cls, normal: Mapping[str, Any]) -> Request:
        """A request out of a record: trusted, for it was validated when it came in."""
        return cls(dict(normal))

    @cached_property
    def id(self) -> str:
        """64 hex digits; equal baits have equal ids however they were written."""
        return bait_id(self.normal)

    @cached_property
    def bait(self) -> Bait:
        """The shape that this request asks for."""
        if "strands" in self.normal:
            return OpenBait(self.normal["strands"], self.normal["hollows"])
        return StyledBait(self.style, self.params)

    @cached_property
    def style(self) -> Style:
        """The style that this request names."""
        return style_of(self.normal)

    @property
    def params(self) -> Params:
        """The style's parameters, every one, in normal form."""
        return self.style.whole(self.normal["params"])

    def infeasible(self) -> Iterator[Fault]:
        """What is possible singly but not together: of the bait, and then of the rig on it and the core in it."""
        faults = tuple(self.bait.infeasible())
        yield from faults
        if ("rig" in self.normal or "shot" in self.normal) and not faults:
            yield from faults_of(self.normal, self.bait)
        if "mould" in self.normal and not faults:
            yield from mould_faults(self.normal["mould"], self.bait.strands(), self.bait.hollows())

    @property
    def coarse(self) -> bool:
        """Whether a preview is enough."""
        return bool(self.normal["detail"] == "coarse")

    @property
    def tolerance(self) -> float:
        """How far the mesh may lie from the exact surface, mm."""
        return self.full_tolerance * (COARSER if self.coarse else 1.0)

    @property
    def full_tolerance(self) -> float:
        """The same of the full bait, whatever the detail."""
        return float(self.normal["tolerance_mm"])

    @property
    def notch_rounding(self) -> float:
        """By how much notches count as rounder than they are drawn, mm."""
        asked = self.normal["checks"].get("joint_pull", {})
        return float(asked.get(NOTCH_ROUNDING.name, NOTCH_ROUNDING.default))

    @property
    def outputs(self) -> tuple[str, ...]:
        """The outputs asked for, sorted."""
        return tuple(self.normal["outputs"])

    def changed(self, patch: Mapping[str, Any]) -> Request:
        """The request after an RFC 7396 merge patch whose values are in normal form already."""
        normal = merged(self.normal, patch)
        return Request({**normal, "checks": _asked(normal["checks"])}, self.label)


def read_request(body: object) -> Request:
    """The request in a JSON value.

    Raises InvalidRequest with every fault at once, or InfeasibleRequest for values that cannot stand together.
    """
    top, faults = _read(body)
    if faults:
        raise invalid(faults)
    top["checks"] = _asked(top["checks"])
    if "mould" in top["outputs"]:
        top.setdefault("mould", default_mould())
    if top.get("picture") == {}:
        del top["picture"]
    top = completed(top)
    label = top.pop("label", None)
    request = Request(top, label)
    impossible = (
        tuple(request.infeasible())
        or tuple(too_fine(request.bait, request.tolerance))
        or tuple(too_long(request.normal, request.bait, COARSER if request.coarse else 1.0))
    )
    if impossible:
        raise InfeasibleRequest(" ".join(fault.detail for fault in impossible), impossible)
    return request


def _read(body: object) -> tuple[dict[str, Any], list[Fault]]:
    """The members in normal form as far as they can be read, and every fault in them."""
    members = body if isinstance(body, Mapping) else {}
    faults: list[Fault] = []
    if "strands" in members:
        twice = [name for name in ("style", "params") if name in members]
        allowed = {"members": ["style", "strands"]}
        detail = "A request names a style with its parameters, or strands, not both."
        faults += [Fault(f"/{name}", "one-or-the-other", detail, allowed) for name in twice]
        body = {name: value for name, value in members.items() if name not in twice}
    definition, below = definition_in(members) if "strands" not in members else (None, [])
    faults += below
    if definition is not None:
        body = with_defaults(members, definition)
    top: dict[str, Any] = {}
    try:
        top = _schema_for(members).load(cast("Mapping[str, Any]", body))
    except ValidationError as error:
        faults += faults_in(error.messages)
        top = cast("dict[str, Any]", error.valid_data if isinstance(error.valid_data, dict) else {})
    style = STYLES.get(str(top.get("style")))
    if definition is not None:
        top[DEFINITION] = definition
        hold_to(top, definition)
        style = house_style(str(top.get("style", "")), definition)
    if style is not None and members.get("params", {}) is not None:
        try:
            top["params"] = params_schema(style).load(members.get("params", {}))
        except ValidationError as error:
            faults += faults_in(error.messages, "params")
    return top, faults


def _schema_for(members: Mapping[str, Any]) -> StrictSchema:
    if "strands" in members:
        return open_schema()
    return housed_schema() if DEFINITION in members else styled_schema()


def _asked(checks: Mapping[str, Mapping[str, Any]]) -> dict[str, dict[str, Any]]:
    """`checks` in normal form: those of which something else is asked than by default."""
    asked = {name: {"silence": False, **_without_default(name, members)} for name, members in checks.items()}
    return {name: members for name, members in asked.items() if members != {"silence": False}}


def _without_default(check: str, members: Mapping[str, Any]) -> dict[str, Any]:
    """A member of `checks` less what is as by default: defaults, written or not, are one bait."""
    defaults = {member.name: member.default for member in CHECKS[check].settable}
    return {name: value for name, value in members.items() if name not in defaults or value != defaults[name]}
