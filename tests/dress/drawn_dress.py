"""Random dresses on worms that can exist."""

from __future__ import annotations

from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from tests.property.drawn import WORMS, bead_params, exists, rib_params
from tests.tails.drawn_tails import near
from worker.styles.dress import WORN
from worker.styles.dress_parameters import DRESS, LEAST
from worker.values.parameter import Parameter

Body = dict[str, Any]
_DECLARED = {parameter.name: parameter for parameter in DRESS}
_SIZES = {name: tuple(other for other in _DECLARED if other.startswith(f"{name}_")) for name in WORN}


def _put_on(parameter: Parameter) -> st.SearchStrategy[Any]:
    """A value that puts it on."""
    if parameter.kind == "choice":
        return st.sampled_from([each for each in parameter.choices if each != parameter.default])
    least = LEAST.get(parameter.name, 0.02 * parameter.maximum)
    return st.integers(int(1000 * least), int(1000 * parameter.maximum)).map(lambda whole: whole / 1000)


@st.composite
def dressed_bodies(draw: st.DrawFn, tolerance: float = 0.05) -> Body:
    """Bodies of requests for a worm that wears something, most of them thick enough for most of it."""
    style = draw(st.sampled_from(WORMS))
    params = draw(rib_params() if style == "ribbed_worm" else bead_params(style))
    if draw(st.integers(0, 3)):
        params |= {"width": 14, "height": 13} if style == "ribbed_worm" else {"bead_diameter": 14, "bead_count": 20}
        params |= {"length": draw(st.sampled_from([100, 127, 180])), "taper": 1.0}
    for name in draw(st.lists(st.sampled_from(WORN), min_size=1, max_size=3, unique=True)):
        params[name] = draw(_put_on(_DECLARED[name]))
        params |= {other: draw(near(_DECLARED[other])) for other in _SIZES[name] if draw(st.booleans())}
    body = {"style": style, "params": params, "tolerance_mm": tolerance, "outputs": ["stl"]}
    if not exists(body):
        reject()
    return body
