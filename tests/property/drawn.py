"""Random requests for the property tests, drawn from the parameters' own declarations.

`for_all` runs one property twice: a few examples, the same ones each time, in `make test`, and many, new ones each
time, in `make proof`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import wraps
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, reject, settings
from hypothesis import strategies as st

from worker.errors import InfeasibleRequest
from worker.request import Request, read_request
from worker.request.plastic import HARDENER, SOFTENER, WARMTH
from worker.styles import STYLES
from worker.styles.dress_parameters import DRESS
from worker.styles.tail_parameters import TAIL
from worker.values.own_plastics import FIGURES
from worker.values.parameter import Parameter, six_digits
from worker.values.rows import Rows

BEADED = ("beaded_worm", "jointed_worm")
WORMS = (*BEADED, "ribbed_worm")
Body = dict[str, Any]


def for_all(*strategies: st.SearchStrategy[Any], quick: int, proof: int) -> Callable[..., Any]:
    """A property over `strategies`: `quick` fixed examples in `make test`, `proof` new ones in `make proof`."""

    def decorate(holds: Callable[..., None]) -> Callable[[int], None]:
        @pytest.mark.parametrize(
            "examples", [pytest.param(quick, id="quick"), pytest.param(proof, id="proof", marks=pytest.mark.proof)]
        )
        def test(examples: int) -> None:
            chosen = drawing(examples, same=examples == quick)

            # Settings are kept on the function that they are given to, once: each set has a function of its own.
            @wraps(holds)
            def once(*drawn: Any, **named: Any) -> None:
                holds(*drawn, **named)

            given(*strategies)(chosen(once))()

        test.__name__, test.__doc__, test.__module__ = holds.__name__, holds.__doc__, holds.__module__
        return test

    return decorate


def drawing(examples: int, *, same: bool) -> settings:
    """How so many examples are drawn; `same`: the same ones each time."""
    return settings(
        max_examples=examples,
        derandomize=same,
        database=None,
        deadline=None,
        print_blob=True,
        # A mesh takes a while: the example that failed is told as it was drawn, not made smaller.
        phases=[Phase.explicit, Phase.generate],
        # A draw that cannot exist as a bait is drawn again, which Hypothesis would call filtering too much.
        suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
    )


def numbers(parameter: Parameter | Rows, decimals: int = 3) -> st.SearchStrategy[Any]:
    """Values within the range, its two ends often among them; of `Rows` as many rows as there may be, but few."""
    if isinstance(parameter, Rows):
        row = st.fixed_dictionaries({}, optional={m.name: numbers(m, decimals) for m in parameter.members})
        return st.lists(row, min_size=parameter.fewest, max_size=min(parameter.most, parameter.fewest + 3))
    low, high = parameter.minimum, parameter.maximum
    if parameter.kind == "choice":
        return st.sampled_from(parameter.choices)
    if parameter.kind == "whole":
        return st.integers(int(low), int(high))
    scale = 10**decimals
    first = (Decimal(repr(low)) * scale).to_integral_value(ROUND_CEILING)
    last = (Decimal(repr(high)) * scale).to_integral_value(ROUND_FLOOR)
    inside = st.integers(int(first), int(last)).map(lambda whole: whole / scale)
    return st.one_of(inside, inside, inside, st.sampled_from([low, high]))


def _plain_parameters(style: str) -> dict[str, Parameter]:
    """A worm's own parameters: tails and dress are drawn where they are looked at, and a worm is plain without."""
    shared = {parameter.name for parameter in (*TAIL, *DRESS)}
    return {
        each.name: each for each in STYLES[style].parameters if isinstance(each, Parameter) and each.name not in shared
    }


@st.composite
def bead_params(draw: st.DrawFn, style: str) -> Body:
    """Parameters of a beaded or jointed worm, its beads from close together to far apart."""
    declared = _plain_parameters(style)
    params = {name: draw(numbers(parameter)) for name, parameter in declared.items() if name != "bead_count"}
    for name in ("bead_height_ratio", "core_height_ratio", "taper", "bead_length_ratio"):
        if name in params and draw(st.booleans()):
            params[name] = 1.0
    mean = params["bead_length_ratio"] * params["bead_diameter"] * (1 + params["taper"]) / 2
    share = draw(st.integers(16, 170)) / 100
    fitting = 1 + int(max(0.0, params["length"] - mean) / mean / share)
    params["bead_count"] = min(max(fitting, 3), 200)
    if style == "jointed_worm":
        thickest = 0.95 * params["bead_diameter"]
        params["core_diameter"] = round(min(params["core_diameter"], thickest), 3)
        highest = 0.95 * params["bead_diameter"] * params["bead_height_ratio"] / params["core_diameter"]
        params["core_height_ratio"] = max(0.5, min(params["core_height_ratio"], int(1000 * highest) / 1000))
    return params


@st.composite
def rib_params(draw: st.DrawFn) -> Body:
    """Parameters of a ribbed worm whose ribs can be made."""
    declared = _plain_parameters("ribbed_worm")
    params = {name: draw(numbers(parameter)) for name, parameter in declared.items()}
    # A quarter of the thinnest place; deeper ones cut a flat or tapering body through.
    thinnest = params["taper"] * min(params["width"], params["height"])
    params["rib_depth"] = max(0.4, round(min(params["rib_depth"], thinnest / 4), 3))
    params["rib_land"] = max(params["rib_land"], 2 * params["rib_edge_radius"])
    least = params["rib_land"] + 3 * params["rib_edge_radius"]
    params["rib_pitch"] = round(max(params["rib_pitch"], least + 0.001), 3)
    params["rib_count"] = 0
    return params


@st.composite
def plastics(draw: st.DrawFn) -> Body:
    """A built-in grade or figures of somebody's own, plain or with what is added to it, at any temperature of use."""
    plastic: Body = {"salt_wt_pct": draw(st.integers(0, 45))}
    if draw(st.booleans()):
        plastic |= {each.name: draw(numbers(each, 1)) for each in (SOFTENER, HARDENER, WARMTH) if draw(st.booleans())}
    own = draw(st.lists(st.sampled_from(sorted(FIGURES)), unique=True)) if draw(st.booleans()) else []
    if own:
        plastic |= {"name": "ours", "properties": {name: draw(_figure(FIGURES[name])) for name in own}}
    # Beside figures of one's own a grade may be left out.
    if not own or draw(st.booleans()):
        plastic["grade"] = draw(st.sampled_from(["soft", "medium", "firm"]))
    return plastic


@st.composite
def _figure(draw: st.DrawFn, figure: Parameter) -> Body:
    """Low, typical and high: up to three times under and over a grade's, scattered by up to two, within the range."""
    middle = float(figure.default) * 3 ** (draw(st.integers(-100, 100)) / 100)
    ends = (middle / (1 + draw(st.integers(0, 100)) / 100), middle, middle * (1 + draw(st.integers(0, 100)) / 100))
    low, typical, high = (six_digits(min(max(end, figure.minimum), figure.maximum)) for end in ends)
    return {"low": low, "typical": typical, "high": high, "source": "drawn"}


def bodies(styles: tuple[str, ...] = WORMS, *, tolerance: float | None = None) -> st.SearchStrategy[Body]:
    """Bodies of requests for an STL that the reader takes: params whole, plastic and tolerance drawn."""
    return st.sampled_from(styles).flatmap(lambda style: _body(style, tolerance))


@st.composite
def _body(draw: st.DrawFn, style: str, tolerance: float | None) -> Body:
    params = draw(rib_params() if style == "ribbed_worm" else bead_params(style))
    plastic = draw(plastics())
    if tolerance is None:
        tolerance = draw(st.sampled_from([0.02, 0.02, 0.05, 0.1, 0.2]))
    body = {"style": style, "params": params, "plastic": plastic, "tolerance_mm": tolerance, "outputs": ["stl"]}
    if not exists(body):
        reject()
    return body


def exists(body: Mapping[str, Any]) -> bool:
    """Whether the values can stand together."""
    try:
        read_request(body)
    except InfeasibleRequest:
        return False
    return True


def requests(styles: tuple[str, ...] = WORMS, *, tolerance: float | None = None) -> st.SearchStrategy[Request]:
    """As `bodies`, read."""
    return bodies(styles, tolerance=tolerance).map(read_request)


def merged(target: Any, patch: Any) -> Any:
    """RFC 7396, as its section 2 gives the algorithm."""
    if not isinstance(patch, Mapping):
        return patch
    result = dict(target) if isinstance(target, Mapping) else {}
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        else:
            result[name] = merged(result.get(name), value)
    return result


def in_inches(millimetres: float) -> str | None:
    """The same length in inches as a decimal text, where one of at most 12 decimals is exactly it."""
    inches = Decimal(repr(millimetres)) / Decimal("25.4")
    text = f"{inches:.12f}"
    return f"{text} in" if Decimal(text) * Decimal("25.4") == Decimal(repr(millimetres)) else None
