"""What a shrimp is made from: every parameter of its own, declared once."""

from __future__ import annotations

from worker.styles.declare import millimetres, share, whole

BODY = (
    millimetres(
        "length", "Length", "Overall, as moulded: from the tip of the horn to the fan.", 75.0, 30.0, 130.0, 1.0
    ),
    share(
        "carapace", "Carapace", "Length of the shield over head and chest, over the length.", 35.0, 25.0, 50.0, 1.0, "%"
    ),
    millimetres("carapace_height", "Carapace height", "Belly to back, where it is highest.", 11.0, 5.0, 22.0),
    millimetres("carapace_width", "Carapace width", "Where it is widest.", 9.0, 4.5, 20.0),
    whole("segments", "Segments", "Plates of the abdomen behind the carapace.", 6, 8, 4),
    millimetres("plate_depth", "Plate depth", "How far the edge of a plate stands over the next.", 0.5, 0.3, 2.0),
    share("taper", "Taper", "Girth of the abdomen at the fan over the carapace's.", 0.55, 0.35, 0.8, 0.05),
    share("arch", "Arch", "By how much the abdomen turns down from carapace to fan.", 35.0, 0.0, 110.0, 1.0, "deg"),
    millimetres(
        "root_blend", "Root blend", "Radius of the round where fan, legs, feelers and eyes leave.", 0.6, 0.5, 1.5
    ),
)
FAN = (
    whole("fan_lobes", "Fan lobes", "Lobes of the tail fan; of an even number none lies in the middle.", 3, 5, 1),
    millimetres("fan_length", "Fan length", "How far the fan reaches behind the abdomen.", 12.0, 4.0, 30.0, 0.5),
    millimetres("fan_width", "Fan lobe width", "Of a lobe, where it is widest.", 6.5, 2.5, 16.0),
    millimetres(
        "fan_thickness", "Fan thickness", "Of a lobe where it leaves the abdomen; it thins out by half.", 2.4, 1.2, 5.0
    ),
    share("fan_spread", "Fan spread", "Angle of the outermost lobes to the middle.", 32.0, 0.0, 70.0, 1.0, "deg"),
)
HEAD = (
    millimetres(
        "horn", "Horn", "How far the horn reaches ahead of the carapace; under 2 mm there is none.", 8.0, 0.0, 20.0, 0.5
    ),
    millimetres(
        "horn_root", "Horn root", "Height of the horn where it leaves the carapace; half as wide.", 3.2, 1.6, 6.0
    ),
    millimetres(
        "eye_stalks", "Eye stalks", "Diameter of the eyes, each on a stalk; under 1.5 mm there are none.", 2.6, 0.0, 6.0
    ),
    whole(
        "feelers",
        "Feelers",
        "Pairs of feelers, which bow forward and trail back; a second pair is shorter and lies below.",
        1,
        2,
    ),
    millimetres(
        "feeler_length",
        "Feeler length",
        "Along the feeler, outside of the carapace; it ends ahead of the fan's tip.",
        40.0,
        12.0,
        110.0,
        1.0,
    ),
    millimetres("feeler_root", "Feeler root", "Thickness of a feeler where it leaves the carapace.", 1.4, 1.0, 3.0),
    millimetres("feeler_tip", "Feeler tip", "Thickness of a feeler at its tip.", 1.2, 0.8, 2.5),
)
LEGS = (
    whole("leg_pairs", "Walking legs", "Pairs of walking legs below the carapace.", 5, 5),
    millimetres("leg_length", "Leg length", "Outside of the carapace.", 12.0, 3.0, 35.0, 0.5),
    whole("swimmerets", "Swimmerets", "Pairs of small flaps below the abdomen, one a segment.", 4, 6),
    millimetres("swimmeret_length", "Swimmeret length", "Outside of the abdomen.", 5.0, 2.5, 14.0, 0.5),
    millimetres("leg_root", "Leg root", "Thickness of legs and swimmerets where they leave.", 1.6, 1.0, 4.0),
    millimetres("leg_tip", "Leg tip", "Thickness of legs and swimmerets at the tip.", 1.2, 0.8, 3.0),
)
