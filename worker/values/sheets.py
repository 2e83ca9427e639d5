"""What a request may say of the bench sheet (`sheet`): its words, and how the baits are handled; declared once."""

from __future__ import annotations

from worker.values.parameter import Parameter

MORE_LETTERS = "ĆćČčĎďĐđĞğİıŁłŒœŞşŠšŸŽž–—‘’‚“”„…•€™"
"""What the sheet's typeface has beyond the printable characters of Latin-1."""

LONGEST = 60
"""Characters of a line of words."""
MOST_RECIPE_ROWS = 8

PAPER = Parameter("paper", "choice", "Paper", "Of the sheet.", default="a4", choices=("a4", "letter"))
PACK = Parameter("per_pack", "whole", "Count per pack", "Baits in a pack.", default=8, minimum=1, maximum=1000, step=1)
BAG = Parameter(
    "bag_length",
    "length",
    "Bag's length",
    "Inside. Left out, the bait's and 25 mm (judgement).",
    default=150.0,
    minimum=10.0,
    maximum=1000.0,
    step=5.0,
    unit="mm",
)
MINUTES = Parameter(
    "minutes_at_heat",
    "number",
    "Minutes at heat",
    "How long the plastic may stay at pouring temperature. Judgement; the supplier's sheet wins.",
    default=10.0,
    minimum=1.0,
    maximum=120.0,
    step=1.0,
    unit="min",
)
REHEATS = Parameter(
    "reheats",
    "whole",
    "Reheats",
    "How often plastic is heated again before it is thrown away. Judgement; the supplier's sheet wins.",
    default=2,
    minimum=0,
    maximum=20,
    step=1,
)
COOL = Parameter(
    "cool_as",
    "choice",
    "Cooling",
    "flat: laid flat and straight. hang: hung by the nose.",
    default="flat",
    choices=("flat", "hang"),
)
REST = Parameter(
    "rest_hours",
    "number",
    "Rest before packing",
    "Judgement; a soft gel's stiffness was steady from two weeks after casting (Front. Phys. 2020, 577358).",
    default=24.0,
    minimum=0.0,
    maximum=1000.0,
    step=1.0,
    unit="h",
)
