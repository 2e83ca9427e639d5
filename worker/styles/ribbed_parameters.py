"""The parameters of the ribbed worm that it has to itself."""

from __future__ import annotations

from worker.values.parameter import Parameter

WIDTH = Parameter(
    "width", "length", "Width", "Greatest width.", default=10.0, minimum=4.0, maximum=16.0, unit="mm", figure="width"
)
HEIGHT = Parameter(
    "height",
    "length",
    "Height",
    "Greatest height, belly to back.",
    default=9.0,
    minimum=3.5,
    maximum=16.0,
    unit="mm",
    figure="height",
)
TAPER = Parameter(
    "taper",
    "number",
    "Taper",
    "Width of the tail end over the greatest.",
    default=0.6,
    minimum=0.35,
    maximum=1.0,
    step=0.05,
    figure="taper",
)
RIB_PITCH = Parameter(
    "rib_pitch",
    "length",
    "Rib pitch",
    "From one rib to the next.",
    default=3.0,
    minimum=1.5,
    maximum=8.0,
    unit="mm",
    figure="rib_pitch",
)
RIB_COUNT = Parameter(
    "rib_count",
    "whole",
    "Rib count",
    "Ribs, spread evenly in place of the pitch; 0 lets the pitch say how many fit.",
    default=0,
    minimum=0,
    maximum=120,
    step=1,
    figure="rib_pitch",
)
RIB_DEPTH = Parameter(
    "rib_depth",
    "length",
    "Rib depth",
    "How far the grooves go below the ribs.",
    default=1.0,
    minimum=0.4,
    maximum=4.0,
    unit="mm",
    figure="rib_depth",
)
RIB_LAND = Parameter(
    "rib_land",
    "length",
    "Rib land",
    "Level part of a rib, before it slopes to the tail.",
    default=1.0,
    minimum=0.6,
    maximum=4.0,
    unit="mm",
    figure="rib_land",
)
RIB_EDGE_RADIUS = Parameter(
    "rib_edge_radius",
    "length",
    "Rib edge radius",
    "Round of a rib's edges and of the foot of its steep face.",
    default=0.3,
    minimum=0.25,
    maximum=1.0,
    step=0.05,
    unit="mm",
    figure="rib_edge_radius",
)
RIBS_FROM = Parameter(
    "ribs_from",
    "number",
    "Ribs from",
    "Where the ribs begin, as a share of the length from the nose.",
    default=0.25,
    minimum=0.12,
    maximum=0.6,
    step=0.01,
)
RIBS_TO = Parameter(
    "ribs_to",
    "number",
    "Ribs to",
    "Where the ribs end.",
    default=0.85,
    minimum=0.3,
    maximum=0.92,
    step=0.01,
)
