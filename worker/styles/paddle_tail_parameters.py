"""What a paddle tail is made from: every parameter, declared once."""

from __future__ import annotations

from dataclasses import replace

from worker.styles.declare import millimetres, share
from worker.styles.dress_parameters import EYES, FLAT_BELLY, HEAD, HOOK_SLOT, NOSE_BORES, SLOT
from worker.values.parameter import Parameter

LENGTH = millimetres("length", "Length", "Overall, as moulded.", 100.0, 40.0, 250.0, 1.0)
HEIGHT = share("height_share", "Height share", "Greatest height over the length.", 0.2, 0.12, 0.32, 0.01)
WIDTH = share("width_share", "Width share", "Greatest width over the length.", 0.12, 0.07, 0.2, 0.01)
PEAK_AT = share("peak_at", "Peak at", "Where it is highest, as a share of the length.", 0.35, 0.2, 0.5, 0.01)
SQUARENESS = share(
    "squareness",
    "Squareness",
    "Of the sections: 2 is an ellipse, more is squarer, less is leaner.",
    2.2,
    1.8,
    3.0,
    0.05,
)
WRIST_AT = share("wrist_at", "Wrist at", "Where the tail is thinnest, as a share of the length.", 0.82, 0.6, 0.92, 0.01)
WRIST_HEIGHT = share(
    "wrist_height_share",
    "Wrist height share",
    "Height of the thinnest place over the length.",
    0.045,
    0.02,
    0.12,
    0.0025,
)
WRIST_WIDTH = share(
    "wrist_width_share",
    "Wrist width share",
    "Width of the thinnest place over the length: the narrower, the more freely the tail kicks.",
    0.04,
    0.02,
    0.1,
    0.0025,
)
PADDLE_HEIGHT = share(
    "paddle_height_share",
    "Paddle height share",
    "From its upper to its lower edge, over the length.",
    0.15,
    0.06,
    0.4,
    0.01,
)
PADDLE_WIDTH = share(
    "paddle_width_share", "Paddle width share", "From side to side, over the length.", 0.13, 0.05, 0.35, 0.01
)
PADDLE_THICKNESS = millimetres(
    "paddle_thickness", "Paddle thickness", "From its front face to its rear.", 3.0, 2.0, 6.0
)
PADDLE_ANGLE = share(
    "paddle_angle",
    "Paddle angle",
    "Between the wrist's belly and the paddle's face: 90 is square, less leads with the lower edge, more trails it.",
    90.0,
    60.0,
    115.0,
    1.0,
    "deg",
)

EVERY: tuple[Parameter, ...] = (
    LENGTH,
    HEIGHT,
    WIDTH,
    PEAK_AT,
    SQUARENESS,
    WRIST_AT,
    WRIST_HEIGHT,
    WRIST_WIDTH,
    PADDLE_HEIGHT,
    PADDLE_WIDTH,
    PADDLE_THICKNESS,
    PADDLE_ANGLE,
    HEAD,
    FLAT_BELLY,
    replace(HOOK_SLOT, default="belly"),
    *SLOT[1:],
    *NOSE_BORES,
    *EYES,
)
