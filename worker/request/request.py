"""A request as everything downstream sees it: validated, in normal form, with its identity."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, cast

from marshmallow import ValidationError

from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.request.faults import faults_in
from worker.request.identity import bait_id
from worker.request.merging import merged
from worker.request.schema import params_schema, top_schema
from worker.styles import STYLES
from worker.styles.bait import Bait, StyledBait
from worker.styles.style import Params, Style
from worker.values.questions import CHECKS


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
        return StyledBait(self.style, self.params)

    @property
    def style(self) -> Style:
        """The house of strands that this request names."""
        return STYLES[self.normal["style"]]

    @property
    def params(self) -> Params:
        """The style's parameters, every one, in normal form."""
        return cast("Params", self.normal["params"])

    @property
    def outputs(self) -> tuple[str, ...]:
        """The outputs asked for, sorted."""
        return tuple(self.normal["outputs"])

    def changed(self, patch: Mapping[str, Any]) -> Request:
        """The request after an RFC 7396 merge patch whose values are in normal form already."""
        return Request(merged(self.normal, patch), self.label)


def read_request(body: object) -> Request:
    """The request in a JSON value.

    Raises InvalidRequest with every fault at once, or InfeasibleRequest for values that cannot stand together.
    """
    faults: list[Fault] = []
    top: dict[str, Any] = {}
    try:
        top = cast("dict[str, Any]", top_schema().load(cast("Mapping[str, Any]", body)))
    except ValidationError as error:
        faults += faults_in(error.messages)
        top = cast("dict[str, Any]", error.valid_data if isinstance(error.valid_data, dict) else {})
    style = STYLES.get(top.get("style", ""))
    if style is not None and _raw_params(body) is not None:
        try:
            top["params"] = params_schema(style.name).load(_raw_params(body))
        except ValidationError as error:
            faults += faults_in(error.messages, "params")
    if faults or style is None:
        counted = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise InvalidRequest(f"The request has {counted}; `errors` names each one.", faults)
    impossible = tuple(style.infeasible(top["params"]))
    if impossible:
        raise InfeasibleRequest(" ".join(fault.detail for fault in impossible), impossible)
    asked = {name: _without_default(name, members) for name, members in top["checks"].items()}
    top["checks"] = {name: members for name, members in asked.items() if members != {"silence": False}}
    label = top.pop("label", None)
    return Request(top, label)


def _without_default(check: str, members: Mapping[str, Any]) -> dict[str, Any]:
    """A member of `checks` less a limit that is the default: defaults, written or not, are one bait."""
    limit = CHECKS[check].limit
    default = None if limit is None else limit.default
    return {name: value for name, value in members.items() if name != "limit" or value != default}


def _raw_params(body: object) -> Any:
    return body.get("params", {}) if isinstance(body, Mapping) else {}
