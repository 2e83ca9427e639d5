"""What a tail is made from: the parameters that every style with a tail shares, declared once."""

from __future__ import annotations

from worker.values.parameter import Kind, Parameter, Value

KINDS = ("none", "straight", "spike", "curl", "ribbon", "kick", "split", "beaver", "fork")


def _of(
    name: str,
    kind: Kind,
    title: str,
    text: str,
    default: Value,
    minimum: float,
    maximum: float,
    step: float = 0.1,
    unit: str = "mm",
) -> Parameter:
    return Parameter(
        f"tail_{name}",
        kind,
        title,
        text,
        default=default,
        minimum=minimum,
        maximum=maximum,
        step=step,
        unit=unit,
        figure=f"tail_{name}",
    )


def tail_kind(default: str = "none") -> Parameter:
    """Which tail; a style may have one by default."""
    return Parameter(
        "tail",
        "choice",
        "Tail",
        "straight: a plain round end; spike: a round point; curl: a blade that curls in its own plane; ribbon: a thin "
        "wavy band; kick: a paddle square to the bait on a thin wrist; split: a blade slit into two legs; beaver: a "
        "broad oval; fork: two lobes that part.",
        default=default,
        choices=KINDS,
        figure="tail",
    )


TAIL_LENGTH = _of(
    "length",
    "number",
    "Tail length",
    "Along the tail from the body's end to its tip, over the overall length.",
    25.0,
    8.0,
    60.0,
    1.0,
    "%",
)
TAIL_WIDTH = _of(
    "width",
    "length",
    "Tail width",
    "Where the tail is widest; of a split tail and a fork over both. A straight tail and a spike have none.",
    9.0,
    3.0,
    30.0,
)
TAIL_ROOT_THICKNESS = _of(
    "root_thickness",
    "length",
    "Tail root thickness",
    "Thickness of the blade where it leaves the body; of a kick tail, of its paddle.",
    2.0,
    1.2,
    5.0,
)
TAIL_TIP_THICKNESS = _of(
    "tip_thickness",
    "length",
    "Tail tip thickness",
    "Thickness at the tip; of a spike, the width of its point.",
    1.0,
    0.8,
    2.0,
)
TAIL_WRIST = _of(
    "wrist",
    "length",
    "Tail wrist",
    "Width of the tail where it leaves the body; a straight tail, a spike and a kick tail are round there.",
    4.0,
    2.0,
    10.0,
)
TAIL_CURL = _of("curl", "number", "Tail curl", "How far a curled tail turns.", 200.0, 60.0, 400.0, 1.0, "deg")
TAIL_CURL_RADIUS = _of(
    "curl_radius",
    "length",
    "Tail curl radius",
    "Least radius of the inner edge of a curl; a longer tail opens out from there towards the body.",
    3.0,
    1.0,
    12.0,
)
TAIL_COUNT = _of("count", "whole", "Tail count", "Tails side by side, spread as a fan.", 1, 1.0, 3.0, 1.0, "")
TAIL_LIE = Parameter(
    "tail_lie",
    "choice",
    "Tail lie",
    "upright: the blade stands on edge, as a fish's tail does; flat: it lies level. A curl stays in that plane.",
    default="upright",
    choices=("upright", "flat"),
    figure="tail_lie",
)

TAIL: tuple[Parameter, ...] = (
    tail_kind(),
    TAIL_LENGTH,
    TAIL_WIDTH,
    TAIL_ROOT_THICKNESS,
    TAIL_TIP_THICKNESS,
    TAIL_WRIST,
    TAIL_CURL,
    TAIL_CURL_RADIUS,
    TAIL_COUNT,
    TAIL_LIE,
)
"""All of them, the tail itself none by default."""
