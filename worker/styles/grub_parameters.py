"""What a grub is made from: every parameter, declared once."""

from __future__ import annotations

from dataclasses import replace

from worker.styles.declare import choice, millimetres, share, whole
from worker.styles.dress_parameters import EYES, HEAD, HEADS, NOSE_BORES, SLOT
from worker.styles.tail_parameters import (
    TAIL_CURL,
    TAIL_CURL_RADIUS,
    TAIL_ROOT_THICKNESS,
    TAIL_TIP_THICKNESS,
    TAIL_WIDTH,
    TAIL_WRIST,
)

LENGTH = millimetres("length", "Length", "Overall; see `length_is`.", 65.0, 30.0, 200.0, 1.0)
LENGTH_IS = choice(
    "length_is",
    "Length is",
    "as_moulded: from the nose to the furthest point of the curled tail; laid_straight: along the tail to its tip. "
    "The answer's length_mm is as moulded, its laid_straight_mm along the tail.",
    "as_moulded",
    ("as_moulded", "laid_straight"),
)
BODY_LENGTH = millimetres(
    "body_length", "Body length", "From the nose to where the tail leaves.", 40.0, 18.0, 100.0, 0.5
)
DIAMETER = millimetres("diameter", "Diameter", "Of the body behind its head.", 10.0, 5.0, 22.0)
TAPER = share("taper", "Taper", "Diameter at the tail over the greatest.", 0.75, 0.4, 1.0, 0.05)
RIB_PITCH = millimetres("rib_pitch", "Rib pitch", "From one rib to the next.", 3.0, 1.5, 8.0)
RIB_DEPTH = millimetres(
    "rib_depth", "Rib depth", "How far the grooves go below the ribs; 0 leaves them out.", 0.7, 0.0, 3.0
)
TAIL_COUNT = whole("tail_count", "Tail count", "One tail stands upright; two lie flat and curl apart.", 1, 2, 1)
EVERY = (
    LENGTH,
    LENGTH_IS,
    BODY_LENGTH,
    DIAMETER,
    TAPER,
    RIB_PITCH,
    RIB_DEPTH,
    TAIL_COUNT,
    replace(TAIL_WIDTH, default=9.0),
    TAIL_ROOT_THICKNESS,
    TAIL_TIP_THICKNESS,
    replace(TAIL_WRIST, default=5.5),
    replace(TAIL_CURL, default=230.0),
    TAIL_CURL_RADIUS,
    replace(HEAD, default="flat"),
    *HEADS[1:],
    *SLOT,
    *NOSE_BORES,
    *EYES,
)
