"""What a request may say of its pictures (`picture`); declared once."""

from __future__ import annotations

from worker.values.parameter import Parameter


def _whole(name: str, title: str, text: str, default: int, minimum: int, maximum: int, unit: str = "px") -> Parameter:
    return Parameter(name, "whole", title, text, default=default, minimum=minimum, maximum=maximum, step=1, unit=unit)


WIDTH = _whole("width", "Width", "Of the picture.", 256, 16, 1200)
HEIGHT = _whole("height", "Height", "Of the picture.", 192, 16, 1200)
MOST_SIZES = 6
GROUND = Parameter(
    "ground",
    "choice",
    "Ground",
    "What the bait lies on in thumbnails and the turntable. transparent has an alpha channel, the shadow in it.",
    default="white",
    choices=("white", "dark", "transparent"),
)
POSE = Parameter(
    "pose",
    "choice",
    "Pose",
    "moulded: as it leaves the mould. drooping: held level at the nose and hanging in air by its own "
    "weight and stiffness, as droop_tip_deg tells; limbs and what is beyond the trunk's tip keep "
    "their shape. A bait in several pieces, or of which nothing is left behind the hold, is shown as moulded.",
    default="moulded",
    choices=("moulded", "drooping"),
)
VIEW = Parameter(
    "view",
    "choice",
    "View",
    "From where the thumbnails are taken; nose left, but for the front.",
    default="three_quarter",
    choices=("three_quarter", "side", "top", "front"),
)
TURN_WIDTH = _whole("width", "Width", "Of the turntable's picture.", 480, 64, 480)
TURN_HEIGHT = _whole("height", "Height", "Of the turntable's picture.", 240, 64, 480)
FRAMES = _whole("frames", "Frames", "Of one turn.", 24, 8, 36, "")
SECONDS = Parameter(
    "seconds",
    "number",
    "Time of a turn",
    "How long one turn takes; the turntable goes on turning.",
    default=3.0,
    minimum=1.0,
    maximum=12.0,
    step=0.5,
    unit="s",
)
TRANSLUCENCY = Parameter(
    "translucency",
    "number",
    "Translucency",
    "From 0, pigmented through and through, to 1, nearly clear. Left out, what a plastic of its colour usually has.",
    default=0.5,
    minimum=0.0,
    maximum=1.0,
    step=0.05,
)
