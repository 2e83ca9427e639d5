"""What a creature is made from: every parameter of its own, declared once."""

from __future__ import annotations

from worker.styles.declare import choice, millimetres, share, whole
from worker.values.rows import Rows

KINDS = ("leg", "flapper", "wing", "curl", "feeler", "paddle")

BODY = (
    millimetres(
        "length",
        "Length",
        "Overall, as moulded: to the end of the tail or of the limbs that reach furthest.",
        105.0,
        50.0,
        180.0,
        1.0,
    ),
    millimetres("body_width", "Body width", "Where the body is widest, over its ribs.", 13.0, 6.0, 28.0),
    millimetres("body_height", "Body height", "Belly to back, where the body is highest.", 11.0, 5.0, 28.0),
    share(
        "body_taper", "Body taper", "Width and height of the body's rear end over the greatest.", 0.72, 0.4, 1.0, 0.05
    ),
    millimetres("rib_pitch", "Rib pitch", "From one rib to the next.", 3.2, 1.5, 8.0),
    millimetres(
        "rib_depth",
        "Rib depth",
        "How far the grooves go below the ribs; under 0.3 mm the body is plain.",
        1.0,
        0.0,
        4.0,
    ),
    share(
        "ribs_from", "Ribs from", "Where the ribs begin, as a share of the body from the nose.", 0.16, 0.1, 0.6, 0.01
    ),
    share("ribs_to", "Ribs to", "Where the ribs end.", 0.82, 0.3, 0.94, 0.01),
    millimetres("root_blend", "Root blend", "Radius of the round where limbs leave the body.", 0.8, 0.5, 3.0),
)
GROUPS = Rows(
    "groups",
    "Groups",
    "Limbs, a row a group of like pairs: legs, flappers, wings, curls, feelers, paddles.",
    (
        choice(
            "kind",
            "Kind",
            "leg: round, thinning out, swept; flapper: a blade widest near its end; wing: a blade broad at its root; "
            "curl: a ribbon that curls outward; feeler: round and nearly straight; paddle: a round blade on a stalk.",
            "leg",
            KINDS,
        ),
        whole("pairs", "Pairs", "Pairs of limbs in the group.", 1, 8, 1),
        share(
            "from", "From", "Where the first pair leaves, as a share of the body from the nose.", 0.5, 0.08, 0.99, 0.01
        ),
        share("to", "To", "Where the last of several pairs leaves; those between stand evenly.", 0.7, 0.08, 0.99, 0.01),
        whole(
            "every",
            "Every",
            "On ribs: pairs stand on every rib (1), every other (2), and so on, from the first rib behind `from`; 0 "
            "stands them from `from` to `to`.",
            0,
            10,
        ),
        millimetres("length", "Length", "Outside of the body, along the limb.", 20.0, 4.0, 90.0, 0.5),
        millimetres("root", "Root", "Thickness where it leaves the body.", 2.6, 1.0, 8.0),
        millimetres("tip", "Tip", "Thickness at its tip.", 1.2, 0.8, 4.0),
        millimetres("width", "Width", "Of a blade, where it is widest; legs and feelers are round.", 9.0, 3.0, 30.0),
        share("sweep", "Sweep", "How far it is swept back from square.", 45.0, 0.0, 86.0, 1.0, "deg"),
        share(
            "rise", "Rise", "Angle above level with which it leaves; below 0 it falls.", 0.0, -45.0, 45.0, 1.0, "deg"
        ),
    ),
    most=8,
    default=(
        {"kind": "curl", "from": 0.24, "length": 30.0, "root": 3.2, "sweep": 40.0},
        {"kind": "leg", "pairs": 2, "from": 0.44, "to": 0.6, "root": 2.8, "sweep": 40.0, "rise": -8.0},
        {"kind": "flapper", "from": 0.88, "length": 44.0, "root": 3.4, "tip": 1.4, "width": 13.0, "sweep": 70.0},
        {"kind": "feeler", "from": 0.97, "length": 27.0, "root": 1.8, "sweep": 80.0, "rise": 22.0},
    ),
    figure="groups",
)
