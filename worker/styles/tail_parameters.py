"""What a tail is made from: the parameters that every style with a tail shares, declared once."""

from __future__ import annotations

from worker.styles.declare import choice, millimetres, share, whole
from worker.values.parameter import Parameter

KINDS = ("none", "straight", "spike", "curl", "ribbon", "kick", "split", "beaver", "fork")


def tail_kind(default: str = "none") -> Parameter:
    """Which tail; a style may have one by default."""
    return choice(
        "tail",
        "Tail",
        "straight: a plain round end; spike: a round point; curl: a blade that curls in its own plane; ribbon: a thin "
        "wavy band; kick: a paddle square to the bait on a thin wrist; split: a blade slit into two legs; beaver: a "
        "broad oval; fork: two lobes that part.",
        default,
        KINDS,
    )


TAIL_LENGTH = share(
    "tail_length",
    "Tail length",
    "Along the tail from the body's end to its tip, over the overall length.",
    25.0,
    8.0,
    60.0,
    1.0,
    "%",
)
TAIL_WIDTH = millimetres(
    "tail_width",
    "Tail width",
    "Where the tail is widest; of a split tail and a fork over both. A straight tail and a spike have none.",
    9.0,
    3.0,
    30.0,
)
TAIL_ROOT_THICKNESS = millimetres(
    "tail_root_thickness",
    "Tail root thickness",
    "Thickness of the blade where it leaves the body; of a kick tail, of its paddle.",
    2.0,
    1.2,
    5.0,
)
TAIL_TIP_THICKNESS = millimetres(
    "tail_tip_thickness",
    "Tail tip thickness",
    "Thickness at the tip; of a spike, the width of its point.",
    1.0,
    0.8,
    2.0,
)
TAIL_WRIST = millimetres(
    "tail_wrist",
    "Tail wrist",
    "Width of the tail where it leaves the body; a straight tail, a spike and a kick tail are round there.",
    4.0,
    2.0,
    10.0,
)
TAIL_CURL = share("tail_curl", "Tail curl", "How far a curled tail turns.", 200.0, 60.0, 400.0, 1.0, "deg")
TAIL_CURL_RADIUS = millimetres(
    "tail_curl_radius",
    "Tail curl radius",
    "Least radius of the inner edge of a curl; a longer tail opens out from there towards the body.",
    3.0,
    1.0,
    12.0,
)
TAIL_COUNT = whole("tail_count", "Tail count", "Tails side by side, spread as a fan.", 1, 3, 1)
TAIL_LIE = choice(
    "tail_lie",
    "Tail lie",
    "upright: the blade stands on edge, as a fish's tail does; flat: it lies level. A curl stays in that plane.",
    "upright",
    ("upright", "flat"),
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
