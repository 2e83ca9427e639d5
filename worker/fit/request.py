"""A fit's request as everything downstream sees it: validated, in normal form, with its identity."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, cast

from marshmallow import ValidationError

from worker.errors import Fault, InfeasibleRequest, InvalidRequest
from worker.fit.axes import Axis, free_parameters, patch_of, section_of
from worker.fit.effort import usual_evaluations, work_faults
from worker.fit.faults import free_faults, misplaced_faults, nothing_free
from worker.fit.goals import NEAREST
from worker.fit.intake import Intake, with_makers_terms
from worker.fit.schema import (
    BY_STYLE,
    SHARED,
    fit_schema,
    fixed_schema,
    free_schema,
    housed_fit_schema,
    values_schema,
)
from worker.request.faults import faults_in
from worker.request.housed import definition_in, hold_to, with_defaults
from worker.request.identity import digest, engine, identified
from worker.request.request import Request
from worker.request.sections import PULLS
from worker.styles import STYLES
from worker.styles.house import DEFINITION, house_style, style_of
from worker.styles.style import Style
from worker.values.parameter import Value


@dataclass(frozen=True)
class FitRequest:
    """`normal` is the normal form (all members but the label, defaults written, lengths in mm); JSON-ready."""

    normal: dict[str, Any]
    label: str | None = None

    @classmethod
    def from_normal(cls, normal: Mapping[str, Any]) -> FitRequest:
        """A request out of a record: trusted, for it was validated when it came in."""
        return cls(dict(normal))

    @cached_property
    def id(self) -> str:
        """64 hex digits; equal fits have equal ids however they were written."""
        return digest({"engine": engine(), "fit": identified(self.normal)})

    @cached_property
    def style(self) -> Style:
        """The style that it is looked for in."""
        return style_of(self.normal)

    @cached_property
    def axes(self) -> tuple[Axis, ...]:
        """What is free, in the order of the style's declarations."""
        declared = free_parameters(self.style)
        return tuple(Axis.of(name, declared[name], told) for name, told in self.normal["free"].items())

    @cached_property
    def base(self) -> Request:
        """The bait that the search begins from: all that is fixed, and where it starts of the rest."""
        normal = self.normal
        shared = {name: normal[name] for name in SHARED if name in normal}
        order = [each.name for each in self.style.free]
        params = {name: normal["params"].get(name) for name in order}
        asked = {name: normal["require"][name] for name in PULLS if name in normal["require"]}
        named = {name: normal[name] for name in ("style", DEFINITION) if name in normal}
        bait = {**named, "params": params, "require": asked, **shared}
        return Request(bait).changed(patch_of(normal["start"]))

    def bait(self, values: Mapping[str, Value]) -> Request:
        """The request of the bait with these values of what is free."""
        return self.base.changed(patch_of(values))

    def describe(self) -> dict[str, Any]:
        """JSON-ready: the label, if there is one, and the normal form."""
        return {**({} if self.label is None else {"label": self.label}), **self.normal}


def fit_request(body: object) -> FitRequest:
    """The fit in a JSON value.

    Raises InvalidRequest with every fault at once, or InfeasibleRequest for more work than a fit may be.
    """
    intake = with_makers_terms(body)
    top, faults = _read(intake)
    if faults:
        counted = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise InvalidRequest(f"The request has {counted}; `errors` names each one.", faults)
    label = top.pop("label", None)
    request = FitRequest(_completed(top), label)
    too_much = tuple(work_faults(request.normal))
    if too_much:
        raise InfeasibleRequest(" ".join(fault.detail for fault in too_much), too_much)
    return request


def _read(intake: Intake) -> tuple[dict[str, Any], list[Fault]]:
    """The members in normal form as far as they can be read, and every fault in them."""
    document = intake.document
    members = document if isinstance(document, Mapping) else {}
    faults: list[Fault] = []
    definition, told = definition_in(members)
    faults += told
    if definition is not None:
        document = with_defaults(members, definition)
    top: dict[str, Any] = {}
    try:
        form = housed_fit_schema() if DEFINITION in members else fit_schema()
        top = form.load(cast("Mapping[str, Any]", document))
    except ValidationError as error:
        faults += (fault for fault in faults_in(error.messages) if not intake.excuses(fault))
        top = cast("dict[str, Any]", error.valid_data if isinstance(error.valid_data, dict) else {})
    if not isinstance(document, Mapping):  # that is all that there is to say of it
        return top, faults
    style = STYLES.get(str(top.get("style")))
    if definition is not None:
        top[DEFINITION] = definition
        hold_to(top, definition)
        style = house_style(str(top.get("style", "")), definition)
    if style is not None:
        read, below = _by_style(style, members)
        faults += (fault for fault in below if not intake.excuses(fault))
        top |= read
        faults += misplaced_faults(style, top, members)
    elif not intake.unread and "free" not in members:
        faults += nothing_free(members)
    return top, faults


def _by_style(style: Style, members: Mapping[str, Any]) -> tuple[dict[str, Any], list[Fault]]:
    """`params`, `free`, `start` and what is to be nearest, read by the style's schemas."""
    free = members.get("free", {})
    names = frozenset(free) if isinstance(free, Mapping) else frozenset()
    faults = list(free_faults(style, members))
    clash = {fault.pointer.rpartition("/")[2] for fault in faults if fault.code == "fixed-and-free"}
    params = members.get("params", {})
    if isinstance(params, Mapping):
        params = {name: value for name, value in params.items() if name not in clash}
    goal = members.get("goal")
    near = goal.get(NEAREST, {}) if isinstance(goal, Mapping) and isinstance(goal.get(NEAREST, {}), Mapping) else {}
    read: dict[str, Any] = {}
    for name, schema, value, place in (
        ("params", fixed_schema(style, names & frozenset(free_parameters(style))), params, ("params",)),
        ("free", free_schema(style), free, ("free",)),
        ("start", values_schema(style), members.get("start", {}), ("start",)),
        (NEAREST, values_schema(style), near, ("goal", NEAREST)),
    ):
        if value is None:  # told already, of every member alike
            continue
        try:
            read[name] = schema.load(value)
        except ValidationError as error:
            faults += faults_in(error.messages, *place)
    return read, faults


def _completed(top: Mapping[str, Any]) -> dict[str, Any]:
    """The normal form: where it starts and what is nearest written for all that is free, and for nothing else."""
    near = top[NEAREST]
    normal = {name: member for name, member in top.items() if name not in (*BY_STYLE, NEAREST)}
    style = style_of(normal)
    free = {name: top["free"][name] for name in free_parameters(style) if name in top["free"]}
    normal |= {"params": top["params"], "free": free, "start": dict(_starts(style, top, free))}
    if NEAREST in normal["goal"] or not normal["goal"]:
        normal["goal"] = {NEAREST: {**normal["start"], **{name: at for name, at in near.items() if name in free}}}
    if not normal.get("front"):
        normal.pop("front", None)
    normal.setdefault("evaluations", usual_evaluations(normal))
    normal["checks"] = Request({"checks": normal["checks"]}).changed({}).normal["checks"]
    return normal


def _starts(style: Style, top: Mapping[str, Any], free: Mapping[str, Any]) -> Iterator[tuple[str, Value]]:
    """Where each free value starts: as asked, else at its default, within its range."""
    declared = free_parameters(style)
    for name, told in free.items():
        default = top["plastic"][name] if section_of(name) == "plastic" else declared[name].default
        value = top["start"].get(name, default)
        if "choices" in told:
            yield name, value if value in told["choices"] else told["choices"][0]
        else:
            yield name, Axis.of(name, declared[name], told).at(float(value))
