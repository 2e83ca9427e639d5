"""Baits with limbs, made from their parameters, random ones that can exist, and what a reader of their mesh sees."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import reject
from hypothesis import strategies as st
from numpy.typing import NDArray

from tests.property.drawn import exists, merged, numbers, plastics
from worker.checks.subject import Subject
from worker.errors import InfeasibleRequest
from worker.estimate import estimate
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.solid import Solid
from worker.strands.strand import Strand
from worker.styles import STYLES
from worker.styles.dress_parameters import DRESS
from worker.styles.tail_parameters import TAIL
from worker.values.parameter import Parameter
from worker.values.rows import Row, Rows

Body = dict[str, Any]
TOLERANCE = 0.05
"""Tolerance of random baits, mm."""
SHARED = {parameter.name for parameter in (*DRESS, *TAIL)}


def subject_of(style: str, **params: Any) -> Subject:
    """A bait of that style with these parameters, as checks see it."""
    return Subject(read_request({"style": style, "params": params}))


def strands_of(style: str, **params: Any) -> dict[str, Strand]:
    """Its strands by name."""
    return {strand.name: strand for strand in subject_of(style, **params).strands}


def solid_of(style: str, *, tolerance: float = 0.02, **params: Any) -> Solid:
    """The solid that a build makes of it."""
    return built(subject_of(style, **params), tolerance)


def built(subject: Subject, tolerance: float) -> Solid:
    """The same of a subject."""
    return joined(subject.strands, tolerance, subject.hollows)


def tip(strand: Strand) -> NDArray[np.float64]:
    """Where a strand's path ends."""
    return np.asarray(strand.path.frames(np.array([strand.path.length]))[0][0])


def leaves(strand: Strand) -> NDArray[np.float64]:
    """Where a strand's path leaves its parent."""
    assert strand.root is not None
    return np.asarray(strand.path.frames(np.array([strand.root.leaves]))[0][0])


def outer_length(strand: Strand) -> float:
    """Length of a strand's path outside of its parent, mm."""
    assert strand.root is not None
    return float(strand.path.length - strand.root.leaves)


def faults_of(style: str, **params: Any) -> dict[str, tuple[str, Any]]:
    """Code and allowed range of every fault, by pointer; none of a bait that can be."""
    try:
        read_request({"style": style, "params": params})
    except InfeasibleRequest as error:
        assert all(fault.detail for fault in error.faults)
        return {fault.pointer: (fault.code, fault.allowed) for fault in error.faults}
    return {}


def checks_of(request: Request) -> dict[str, dict[str, Any]]:
    """The checks of an estimate, by name."""
    return {check["check"]: check for check in estimate(request)["checks"]}


def mended_by(body: Body, patch: Any, check: str) -> str:
    """The verdict of a check after an RFC 7396 merge patch."""
    return str(checks_of(read_request(merged(body, patch)))[check]["verdict"])


def edges_by_place(solid: Solid) -> NDArray[np.int64]:
    """How many triangles meet at each edge, corners being one where they are at one place: as a reader of STL does."""
    _, corner = np.unique(solid.vertices, axis=0, return_inverse=True)
    triangles = corner.ravel()[solid.triangles]
    edges = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    return np.asarray(np.unique(edges, axis=0, return_counts=True)[1])


def near(parameter: Parameter) -> st.SearchStrategy[Any]:
    """The default, a value beside it, or any at all: values all drawn at once seldom stand together."""
    default = st.just(parameter.default)
    if parameter.kind == "choice":
        return st.one_of(default, numbers(parameter))
    if parameter.kind == "whole":
        return st.one_of(default, st.integers(int(parameter.minimum), int(parameter.maximum)))
    size = max(abs(float(parameter.default)), 0.1 * parameter.maximum)
    low, high = (
        max(parameter.minimum, parameter.default - 0.25 * size),
        min(parameter.maximum, parameter.default + 0.35 * size),
    )
    beside = st.integers(0, 1000).map(lambda share: round(low + (high - low) * share / 1000, 3))
    return st.one_of(default, default, default, beside, beside, numbers(parameter))


@st.composite
def _rows(draw: st.DrawFn, parameter: Rows) -> list[Row]:
    """Rows of the default, changed, dropped or joined by a new one."""
    rows = []
    for row in parameter.written():
        if draw(st.integers(0, 3)) == 0:
            continue
        changed = dict(row)
        for member in draw(st.lists(st.sampled_from(parameter.members), max_size=2)):
            changed[member.name] = draw(near(member))
        rows.append(changed)
    if draw(st.integers(0, 3)) == 0:
        rows.append({member.name: draw(near(member)) for member in parameter.members})
    return rows


@st.composite
def bodies(draw: st.DrawFn, style: str) -> Body:
    """Bodies of requests that the reader takes: parameters of the style's own near their defaults and at corners."""
    params: Body = {}
    for parameter in STYLES[style].parameters:
        if isinstance(parameter, Rows):
            params[parameter.name] = draw(_rows(parameter))
        elif parameter.name in ("tail", "flat_belly", "hook_slot", "weight_bore", "head"):
            if draw(st.integers(0, 5)) == 0:
                params[parameter.name] = draw(numbers(parameter))
        elif parameter.name not in SHARED and draw(st.booleans()):
            params[parameter.name] = draw(near(parameter))
    body = {"style": style, "params": params, "tolerance_mm": TOLERANCE, "outputs": ["stl"]}
    if not exists(body):
        reject()
    return body


@st.composite
def bad_bodies(draw: st.DrawFn, style: str) -> Body:
    """The same, asked for more than most of them hold or fill."""
    body = draw(bodies(style))
    body["require"] = {"joint_pull_n": draw(st.integers(1, 60))}
    body["checks"] = {"thin_feature": {"limit": draw(st.integers(8, 20)) / 10}}
    body["plastic"] = draw(plastics())
    if all(check["verdict"] == "pass" for check in checks_of(read_request(body)).values()):
        reject()
    return body
