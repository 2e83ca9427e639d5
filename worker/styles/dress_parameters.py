"""What every bait may have besides its style: its head, a flat belly, a slot, bores, a pocket, eyes, an egg band."""

from __future__ import annotations

from worker.styles.declare import choice, millimetres, share
from worker.values.parameter import Parameter

HEAD = choice(
    "head",
    "Head",
    "round: as the style has it; blunt: a short round; bullet: drawn out to a point; flat: cut off square.",
    "round",
    ("round", "blunt", "bullet", "flat"),
)
NOSE_SMOOTH = share(
    "nose_smooth",
    "Nose smooth",
    "How much of the length, from the nose on, is left without beads, ribs or rings; it ends on one of them.",
    0.0,
    0.0,
    40.0,
    1.0,
    "%",
)
FLAT_BELLY = share(
    "flat_belly",
    "Flat belly",
    "How much of the greatest height is cut off level at the belly: the bait then lies on it, and is poured open.",
    0.0,
    0.0,
    0.4,
    0.01,
)
HOOK_SLOT = choice(
    "hook_slot",
    "Hook slot",
    "A slot along the back or the belly in which the hook lies; at least 3 mm of plastic stay below it.",
    "none",
    ("none", "back", "belly"),
)
HOOK_SLOT_WIDTH = millimetres("hook_slot_width", "Hook slot width", "From side to side.", 2.0, 1.5, 3.0)
HOOK_SLOT_AT = share(
    "hook_slot_at", "Hook slot at", "Where the slot begins, over the overall length.", 25.0, 5.0, 80.0, 1.0, "%"
)
HOOK_SLOT_LENGTH = share("hook_slot_length", "Hook slot length", "Over the overall length.", 25.0, 5.0, 70.0, 1.0, "%")
HOOK_SLOT_DEPTH = share(
    "hook_slot_depth", "Hook slot depth", "Over the height where the body is lowest along it.", 0.45, 0.15, 0.8, 0.05
)
JIG_BORE = millimetres(
    "jig_bore", "Jig bore", "Bore from the nose for a jig hook's shank; 0 is none, else from 1 mm.", 0.0, 0.0, 3.0
)
JIG_BORE_LENGTH = share(
    "jig_bore_length", "Jig bore length", "From the nose, over the overall length.", 20.0, 4.0, 60.0, 1.0, "%"
)
WEIGHT_BORE = millimetres(
    "weight_bore", "Weight bore", "Bore for a nail weight; 0 is none, else from 2 mm.", 0.0, 0.0, 4.0
)
WEIGHT_BORE_LENGTH = millimetres("weight_bore_length", "Weight bore length", "How deep it goes.", 15.0, 10.0, 20.0)
WEIGHT_BORE_END = choice(
    "weight_bore_end", "Weight bore end", "The end that the weight is pushed into.", "nose", ("nose", "tail")
)
RATTLE_POCKET = millimetres(
    "rattle_pocket",
    "Rattle pocket",
    "Pocket for a glass rattle so wide, four times as long; 0 is none, else from 3 mm.",
    0.0,
    0.0,
    6.0,
)
RATTLE_POCKET_END = choice(
    "rattle_pocket_end", "Rattle pocket end", "The end that the rattle is pushed into.", "tail", ("nose", "tail")
)
EYE = millimetres(
    "eye", "Eye", "Diameter of the flat seats for eyes on both sides; 0 is none, else from 2 mm.", 0.0, 0.0, 8.0
)
EYE_AT = share("eye_at", "Eye at", "Where the eyes sit, over the overall length.", 6.0, 1.0, 25.0, 0.5, "%")
EGG_BAND = millimetres(
    "egg_band",
    "Egg band",
    "Length of the raised collar of a worm; 0 is none, else from 6 mm. On beads and ribs it runs from one to another.",
    0.0,
    0.0,
    20.0,
    0.5,
)
EGG_BAND_AT = share("egg_band_at", "Egg band at", "Its middle, over the overall length.", 30.0, 10.0, 80.0, 1.0, "%")
EGG_BAND_HEIGHT = millimetres("egg_band_height", "Egg band height", "How far it stands out.", 0.8, 0.4, 2.0)

HEADS: tuple[Parameter, ...] = (HEAD, NOSE_SMOOTH, FLAT_BELLY)
SLOT: tuple[Parameter, ...] = (HOOK_SLOT, HOOK_SLOT_WIDTH, HOOK_SLOT_AT, HOOK_SLOT_LENGTH, HOOK_SLOT_DEPTH)
BORES: tuple[Parameter, ...] = (
    JIG_BORE,
    JIG_BORE_LENGTH,
    WEIGHT_BORE,
    WEIGHT_BORE_LENGTH,
    WEIGHT_BORE_END,
    RATTLE_POCKET,
    RATTLE_POCKET_END,
)
NOSE_BORES: tuple[Parameter, ...] = (JIG_BORE, JIG_BORE_LENGTH, WEIGHT_BORE, WEIGHT_BORE_LENGTH, RATTLE_POCKET)
"""Of a bait whose rear end is taken up: all of them open at the nose."""
EYES: tuple[Parameter, ...] = (EYE, EYE_AT)
BAND: tuple[Parameter, ...] = (EGG_BAND, EGG_BAND_AT, EGG_BAND_HEIGHT)
DRESS: tuple[Parameter, ...] = HEADS + SLOT + BORES + EYES + BAND
"""All of them; a bait has none by default. A style that cannot wear some takes the others."""
PIECES: tuple[Parameter, ...] = (
    HEAD,
    NOSE_SMOOTH,
    FLAT_BELLY,
    HOOK_SLOT,
    JIG_BORE,
    WEIGHT_BORE,
    RATTLE_POCKET,
    EYE,
    EGG_BAND,
)
"""What is worn; the others say how large it is and where."""

LEAST: dict[str, float] = {
    JIG_BORE.name: 1.0,
    WEIGHT_BORE.name: 2.0,
    RATTLE_POCKET.name: 3.0,
    EYE.name: 2.0,
    EGG_BAND.name: 6.0,
}
"""Smallest sizes of what is left out at 0."""
