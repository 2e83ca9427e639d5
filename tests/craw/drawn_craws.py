"""Random craws that can exist, and what a reader of their mesh sees."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import reject
from hypothesis import strategies as st
from numpy.typing import NDArray

from tests.property.drawn import exists, numbers
from worker.solid.solid import Solid
from worker.strands.strand import Strand
from worker.styles.craw import CRAW
from worker.styles.dress_parameters import DRESS
from worker.styles.style import Params
from worker.values.parameter import Parameter

Body = dict[str, Any]
_WORN = {parameter.name for parameter in DRESS}


def craw_params(**changes: object) -> Params:
    """Every parameter of a craw, the default ones but for `changes`."""
    return {**CRAW.defaults(), **{name: CRAW.parameter(name).parse(value) for name, value in changes.items()}}


def craw(**changes: object) -> tuple[Strand, ...]:
    """The strands of such a craw."""
    return CRAW.strands(craw_params(**changes))


def named(strands: tuple[Strand, ...], name: str) -> Strand:
    """The strand of that name."""
    return next(strand for strand in strands if strand.name == name)


def _near(parameter: Parameter) -> st.SearchStrategy[Any]:
    """The default, a value beside it, or any at all: values all drawn at once seldom stand together."""
    default = st.just(parameter.default)
    if parameter.name in _WORN:
        # Mostly not worn: what is worn seldom stands together with everything else drawn at once.
        return st.one_of(*[default] * 8, numbers(parameter))
    if parameter.kind == "choice":
        return numbers(parameter)
    low = max(parameter.minimum, 0.75 * float(parameter.default))
    high = min(parameter.maximum, 1.35 * float(parameter.default))
    if parameter.kind == "whole":
        return st.one_of(default, st.integers(int(parameter.minimum), int(parameter.maximum)))
    beside = st.integers(int(1000 * low), int(1000 * high)).map(lambda whole: min(max(whole / 1000, low), high))
    return st.one_of(default, default, beside, beside, numbers(parameter))


@st.composite
def craw_bodies(draw: st.DrawFn) -> Body:
    """Bodies of requests for a craw that the reader takes."""
    params = {parameter.name: draw(_near(parameter)) for parameter in CRAW.parameters}
    body = {"style": "craw", "params": params, "tolerance_mm": 0.05, "outputs": ["stl"]}
    if not exists(body):
        reject()
    return body


def edges_by_place(solid: Solid) -> NDArray[np.int64]:
    """How many triangles meet at each edge, corners being one where they are at one place: as a reader of STL does."""
    places, corner = np.unique(solid.vertices, axis=0, return_inverse=True)
    triangles = corner.ravel()[solid.triangles]
    assert len(places) > 0
    edges = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    return np.asarray(np.unique(edges, axis=0, return_counts=True)[1])
