"""Baits of one style, built as a caller's would be, and random requests from the style's own declarations."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from numpy.typing import NDArray

from tests.property.drawn import Body, exists, numbers
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.strand import Strand
from worker.styles import STYLES
from worker.values.parameter import Parameter

Array = NDArray[np.float64]


def asked(style: str, **params: Any) -> Request:
    """A request for a bait of that style with these parameters, in soft plastic."""
    return read_request({"style": style, "params": params})


def subject_of(style: str, **params: Any) -> Subject:
    """The same as checks see it."""
    return Subject(asked(style, **params))


def built(style: str, *, tolerance: float = 0.02, **params: Any) -> Solid:
    """The solid that a build makes of it."""
    subject = subject_of(style, **params)
    return joined(subject.strands, tolerance, subject.hollows)


def strand_of(subject: Subject, name: str) -> Strand:
    """The strand of that name."""
    return next(strand for strand in subject.strands if strand.name == name)


def extent_at(solid: Solid, x: float, within: float = 0.05) -> tuple[float, float]:
    """Width and height of the vertices within so many mm of x; mm."""
    near = solid.vertices[np.abs(solid.vertices[:, 0] - x) < within]
    size = near.max(axis=0) - near.min(axis=0)
    return float(size[1]), float(size[2])


def section(solid: Solid, x: float) -> list[Array]:
    """The closed polygons, (n, 2) of y and z, in which a plane across the bait at x cuts its mesh (the mesh kernel)."""
    turned = solid.body.rotate([0.0, -90.0, 0.0])  # x goes up, and z to -x
    return [np.array([[y, -z] for z, y in polygon]) for polygon in turned.slice(x).to_polygons()]


def faults(style: str, **params: Any) -> dict[str, Any]:
    """Pointer of every fault of a request that cannot be, with what would be allowed; none for one that can."""
    try:
        asked(style, **params)
    except InfeasibleRequest as error:
        return {fault.pointer: fault.allowed for fault in error.faults}
    return {}


def _value(parameter: Parameter) -> st.SearchStrategy[Any]:
    """The default half of the time, else a value near it, else any: values drawn all at once seldom stand together."""
    if parameter.kind == "choice":
        return numbers(parameter)
    default = float(parameter.default)
    low, high = max(parameter.minimum, 0.7 * default), min(parameter.maximum, 1.4 * default)
    if parameter.kind == "whole":
        return st.one_of(st.just(int(default)), st.integers(int(parameter.minimum), int(parameter.maximum)))
    beside = st.integers(0, 1000).map(lambda share: round(low + (high - low) * share / 1000, 3))
    return st.one_of(st.just(default), st.just(default), beside, beside, numbers(parameter))


@st.composite
def params_of(draw: st.DrawFn, style: str) -> dict[str, Any]:
    """Parameters of a style, whether they can stand together or not."""
    return {parameter.name: draw(_value(parameter)) for parameter in STYLES[style].parameters}  # type: ignore[arg-type]


@st.composite
def bodies_of(draw: st.DrawFn, style: str) -> Body:
    """Bodies of requests that the reader takes."""
    body = {"style": style, "params": draw(params_of(style)), "tolerance_mm": 0.05, "outputs": ["stl"]}
    assume(exists(body))
    return body


@st.composite
def bad_bodies_of(draw: st.DrawFn, style: str) -> Body:
    """Bodies of requests for which some check asks for something better."""
    body = draw(bodies_of(style))
    body["require"] = {"joint_pull_n": draw(st.integers(1, 80))}
    body["checks"] = {"thin_feature": {"limit": draw(st.integers(8, 40)) / 10}}
    assume(any(check["verdict"] != "pass" for check in checks_of(body).values()))
    return body


def checks_of(body: Body) -> dict[str, dict[str, Any]]:
    """The answers of an estimate, by check."""
    return {check["check"]: check for check in estimate(read_request(body))["checks"]}
