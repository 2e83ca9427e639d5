"""What a tube is made from: every parameter, declared once."""

from __future__ import annotations

from worker.styles.declare import millimetres, share, whole
from worker.styles.dress_parameters import EYES, HEAD
from worker.values.parameter import Parameter

LENGTH = millimetres("length", "Length", "Overall, as moulded.", 90.0, 40.0, 150.0, 1.0)
OUTER = millimetres("outer", "Outer diameter", "Of the whole tube.", 14.0, 7.0, 30.0)
WALL = millimetres("wall", "Wall", "Thickness of the hollow body's wall.", 1.8, 1.2, 3.5)
SOLID_HEAD = share(
    "solid_head", "Solid head", "Share of the length that is solid, from the nose.", 15.0, 5.0, 40.0, 1.0, "%"
)
TENTACLES = whole("tentacles", "Tentacles", "Tentacles that the rear is cut into.", 24, 40, 12)
TENTACLE_SHARE = share(
    "tentacle_length", "Tentacle length", "Share of the length that is cut, from the tail.", 45.0, 10.0, 70.0, 1.0, "%"
)
CUT_WIDTH = millimetres("cut_width", "Cut width", "Gap between two tentacles.", 0.4, 0.2, 1.0, 0.05)

EVERY: tuple[Parameter, ...] = (
    LENGTH,
    OUTER,
    WALL,
    SOLID_HEAD,
    TENTACLES,
    TENTACLE_SHARE,
    CUT_WIDTH,
    HEAD,
    *EYES,
)
