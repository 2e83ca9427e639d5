"""What a leech is made from: every parameter, declared once."""

from __future__ import annotations

from worker.styles.declare import millimetres, share, whole
from worker.styles.dress_parameters import HEADS, JIG_BORE, JIG_BORE_LENGTH
from worker.values.parameter import Parameter

LENGTH = millimetres("length", "Length", "Overall, as moulded.", 90.0, 50.0, 160.0, 1.0)
WIDTH = millimetres("width", "Width", "Greatest width.", 14.0, 7.0, 32.0)
WIDEST_AT = share("widest_at", "Widest at", "Where it is widest, as a share of the length.", 0.3, 0.15, 0.6, 0.01)
THICKNESS = millimetres("thickness", "Thickness", "Belly to back, where it is thickest.", 5.0, 3.0, 10.0)
EDGE = millimetres("edge", "Edge", "Thickness of the edges, half as far inside of the rim.", 1.0, 0.8, 2.0)
HEAD_WIDTH = millimetres("head_width", "Head width", "At the nose, before its end is rounded.", 8.0, 3.0, 24.0)
TAIL_WIDTH = millimetres("tail_width", "Tail width", "At the tail, before its end is rounded.", 6.0, 3.0, 20.0)
TAIL_THICKNESS = millimetres("tail_thickness", "Tail thickness", "Belly to back at the tail.", 2.6, 1.2, 8.0)
WAVE = millimetres("wave", "Wave", "How far the body waves up and down, from crest to trough.", 0.0, 0.0, 8.0)
WAVES = whole("waves", "Waves", "Crests and troughs along the body, where it waves.", 4, 8, 2)
RIB_DEPTH = millimetres(
    "rib_depth", "Rib depth", "How deep the cross ribs' grooves are; 0 leaves them out.", 0.4, 0.0, 1.0, 0.05
)
RIB_PITCH = millimetres("rib_pitch", "Rib pitch", "From one cross rib to the next.", 3.0, 1.5, 8.0)
SUCKER = millimetres(
    "sucker", "Sucker", "Diameter of the sucker at the tail; under 4 mm there is none.", 0.0, 0.0, 10.0, 0.5
)

EVERY: tuple[Parameter, ...] = (
    LENGTH,
    WIDTH,
    WIDEST_AT,
    THICKNESS,
    EDGE,
    HEAD_WIDTH,
    TAIL_WIDTH,
    TAIL_THICKNESS,
    WAVE,
    WAVES,
    RIB_DEPTH,
    RIB_PITCH,
    SUCKER,
    *HEADS,
    JIG_BORE,
    JIG_BORE_LENGTH,
)
