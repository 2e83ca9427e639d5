"""What a craw is made from: every parameter, declared once."""

from __future__ import annotations

from dataclasses import replace

from worker.styles.declare import choice, millimetres, share, whole
from worker.styles.dress_parameters import FLAT_BELLY, HOOK_SLOT_DEPTH, NOSE_SMOOTH, SLOT

BODY = (
    millimetres(
        "length", "Length", "Overall, from the tail fan at the nose to the tips of the claws.", 95.0, 45.0, 140.0, 1.0
    ),
    share("body_share", "Body share", "Length of the body over the overall length.", 0.5, 0.3, 0.65, 0.01),
    millimetres("body_width", "Body width", "Over both lobes, where the body is widest.", 14.0, 8.0, 28.0),
    millimetres("body_height", "Body height", "Belly to back, where the body is highest.", 11.0, 8.0, 28.0),
    share("body_taper", "Body taper", "Width and height at the nose over the greatest.", 0.65, 0.45, 1.0, 0.05),
    millimetres("core_width", "Core width", "Of the core that holds the lobes, where it is widest.", 5.0, 2.0, 16.0),
    millimetres(
        "lobe_overlap",
        "Lobe overlap",
        "How deep each lobe runs into the core, measured in the grooves between its ribs.",
        1.5,
        0.5,
        4.0,
    ),
    millimetres("rib_pitch", "Rib pitch", "From one rib to the next.", 4.0, 1.5, 8.0),
    millimetres("rib_depth", "Rib depth", "How far the grooves go below the ribs.", 1.0, 0.4, 4.0),
    millimetres(
        "tail_fan",
        "Tail fan",
        "How far the fan reaches ahead of the body; under 3 mm there is none.",
        12.0,
        0.0,
        25.0,
        0.5,
    ),
    millimetres(
        "root_blend", "Root blend", "Radius of the round where claws, legs, feelers and fan leave.", 0.8, 0.5, 3.0
    ),
    NOSE_SMOOTH,
    FLAT_BELLY,
)
CLAWS = (
    choice(
        "claws",
        "Claws",
        "pincer: a palm that opens into two fingers; flapper: widest near its end; paddle: a round blade on a stalk; "
        "curl: a ribbon that curls outward.",
        "pincer",
        ("pincer", "flapper", "paddle", "curl"),
    ),
    share(
        "claw_length", "Claw length", "From the wrist to the tip, over the overall length.", 38.0, 15.0, 55.0, 1.0, "%"
    ),
    millimetres("claw_width", "Claw width", "Where a claw is widest.", 13.0, 6.0, 25.0),
    millimetres("claw_thickness", "Claw thickness", "Behind the wrist.", 3.0, 1.5, 6.0),
    millimetres("claw_tip_thickness", "Claw tip thickness", "At the tip.", 1.2, 0.8, 3.0),
    millimetres("wrist_width", "Wrist width", "Where a claw is narrowest, at its wrist.", 3.5, 2.0, 10.0),
    millimetres("wrist_height", "Wrist height", "The wrist from belly to back.", 2.5, 1.5, 8.0),
    share("claw_spread", "Claw spread", "Angle of a claw to the side of straight back.", 25.0, 0.0, 70.0, 1.0, "deg"),
    share("claw_rise", "Claw rise", "Angle of a claw above level.", 0.0, 0.0, 25.0, 1.0, "deg"),
    share("finger_gap", "Finger gap", "Angle between the two fingers of a pincer.", 20.0, 0.0, 50.0, 1.0, "deg"),
)
LEGS = (
    whole("leg_pairs", "Leg pairs", "Pairs of legs.", 3, 5),
    millimetres("leg_length", "Leg length", "Outside of the body.", 14.0, 5.0, 30.0, 0.5),
    millimetres("leg_root", "Leg root", "Thickness of a leg where it leaves the body.", 2.0, 1.2, 5.0),
    millimetres("leg_tip", "Leg tip", "Thickness of a leg at its tip.", 1.0, 0.8, 3.0),
    share("leg_sweep", "Leg sweep", "How far legs are swept back from square.", 45.0, 0.0, 70.0, 1.0, "deg"),
)
ENDS = (
    whole("feelers", "Feelers", "Feelers at the rear of the body.", 2, 4),
    millimetres("feeler_length", "Feeler length", "Outside of the body.", 30.0, 8.0, 70.0, 1.0),
    millimetres("feeler_root", "Feeler root", "Thickness of a feeler where it leaves the body.", 1.4, 1.0, 4.0),
    millimetres("feeler_tip", "Feeler tip", "Thickness of a feeler at its tip.", 0.9, 0.8, 3.0),
)
_DEPTH = replace(HOOK_SLOT_DEPTH, default=0.3, help="Over the core's height where it is lowest along the slot.")
EVERY = BODY + CLAWS + LEGS + ENDS + tuple(_DEPTH if each is HOOK_SLOT_DEPTH else each for each in SLOT)
"""Of the dress a craw wears a smooth nose, a flat belly and a hook slot along its core. No other head, for its nose is
the fan; no bore, pocket or eye, for its rear carries claws and feelers: no end is free to bore into or to seat one."""
