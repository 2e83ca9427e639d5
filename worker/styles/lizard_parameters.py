"""What a lizard is made from: every parameter of its own, declared once."""

from __future__ import annotations

from worker.styles.declare import choice, millimetres, share

BODY = (
    millimetres(
        "length", "Length", "Overall, as moulded, from the nose to the end of the tail.", 150.0, 75.0, 260.0, 1.0
    ),
    millimetres("body_width", "Body width", "Between the legs, where the body is widest.", 11.0, 5.0, 24.0),
    millimetres("body_height", "Body height", "Belly to back, where the body is highest.", 9.0, 4.5, 22.0),
    millimetres("head_length", "Head length", "From the nose to the neck.", 20.0, 8.0, 45.0, 0.5),
    millimetres("head_width", "Head width", "Over the jaws, where the head is widest.", 14.0, 6.0, 28.0),
    share("neck", "Neck", "Width and height of the neck over the body's.", 0.8, 0.5, 1.1, 0.05),
)
LEGS = (
    share(
        "front_legs", "Front legs", "Where the front legs leave the body, over the length.", 22.0, 10.0, 45.0, 0.5, "%"
    ),
    share("hind_legs", "Hind legs", "Where the hind legs leave the body, over the length.", 48.0, 25.0, 75.0, 0.5, "%"),
    millimetres("leg_length", "Leg length", "Along the leg, outside of the body, foot and all.", 25.0, 8.0, 60.0, 0.5),
    millimetres("leg_root", "Leg root", "Thickness of a leg where it leaves the body.", 4.0, 1.5, 8.0),
    millimetres("leg_tip", "Leg tip", "Thickness of a leg at its tip.", 1.6, 0.8, 5.0),
    share("leg_sweep", "Leg sweep", "How far a leg as a whole is swept back from square.", 35.0, 0.0, 60.0, 1.0, "deg"),
    share("knee", "Knee", "Turn of the knee, to the rear; at 0 a leg is straight.", 60.0, 0.0, 110.0, 1.0, "deg"),
    choice(
        "foot",
        "Foot",
        "plain: the leg thins out to a round tip; flapper: it broadens to a thin blade; curl: a ribbon that curls up.",
        "plain",
        ("plain", "flapper", "curl"),
    ),
    millimetres("foot_width", "Foot width", "Of a flapper or a curl, where it is widest.", 7.0, 3.0, 16.0),
    millimetres("root_blend", "Root blend", "Radius of the round where the legs leave the body.", 1.0, 0.5, 4.0),
)
