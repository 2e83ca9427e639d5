"""Random tails on worms that can exist."""

from __future__ import annotations

from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import WORMS, exists, numbers
from worker.strands.strand import Strand
from worker.styles import STYLES
from worker.styles.style import Params
from worker.styles.tail_parameters import KINDS, TAIL
from worker.values.parameter import Parameter

Body = dict[str, Any]
TAILS = tuple(kind for kind in KINDS if kind != "none")


def worm_params(style: str = "beaded_worm", **changes: object) -> Params:
    """Every parameter of a worm, the default ones but for `changes`."""
    declared = STYLES[style]
    return {**declared.defaults(), **{name: declared.parameter(name).parse(value) for name, value in changes.items()}}


def worm(style: str = "beaded_worm", **changes: object) -> tuple[Strand, ...]:
    """The strands of such a worm."""
    params = worm_params(style, **changes)
    assert [fault.detail for fault in STYLES[style].infeasible(params)] == []
    return STYLES[style].strands(params)


def near(parameter: Parameter) -> st.SearchStrategy[Any]:
    """The default, a value beside it, or any at all: values all drawn at once seldom stand together."""
    if parameter.kind in ("choice", "whole"):
        return numbers(parameter)
    low = max(parameter.minimum, 0.6 * float(parameter.default))
    high = min(parameter.maximum, 1.8 * float(parameter.default))
    beside = st.integers(int(1000 * low), int(1000 * high)).map(lambda whole: min(max(whole / 1000, low), high))
    return st.one_of(st.just(parameter.default), beside, beside, numbers(parameter))


@st.composite
def tailed_bodies(draw: st.DrawFn, tolerance: float = 0.05) -> Body:
    """Bodies of requests for a worm with a tail that the reader takes."""
    style = draw(st.sampled_from(WORMS))
    params = {parameter.name: draw(near(parameter)) for parameter in TAIL}
    params |= {"tail": draw(st.sampled_from(TAILS)), "length": draw(st.sampled_from([80, 127, 127, 200]))}
    body = {"style": style, "params": params, "tolerance_mm": tolerance, "outputs": ["stl"]}
    if not exists(body):
        reject()
    return body
