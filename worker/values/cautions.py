"""Cautions that come with every answer: what can hurt, and who has the last word. They are never verdicts.

What a bench needs besides comes with every shot, mould, master and sheet. Sources: ceiling values of hydrogen chloride
by OSHA and NIOSH (5 ppm) and ACGIH (2 ppm); temperatures as in `values/pouring.py`; the rest is common practice of
workshops, and first aid as it is taught.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

EVERY_BAIT: tuple[str, ...] = (
    "Pulls and notch factors are estimates by small-strain theory; pour one and pull it before you sell it.",
    "Molten plastic burns and its fumes harm: face shield, gloves, long sleeves, extraction, no water near it, and "
    "never leave heat unattended.",
    "The supplier's sheet, local codes and licensed practice come first.",
    "Hooks, weights and small parts are not for children or pets.",
)


@dataclass(frozen=True, slots=True)
class Caution:
    """A text under its topic."""

    topic: str
    text: str


BENCH: tuple[Caution, ...] = (
    Caution(
        "Hot plastic",
        "Hot plastic burns: face shield, gloves, long sleeves. Clamp the mould before the shot: plastic blows back at "
        "injector and vents. Damp salt, damp plaster and wet moulds spit; no water near it.",
    ),
    Caution(
        "Heat",
        "Never leave heat unattended: plasticiser burns; keep an extinguisher. A microwave superheats: short bursts, "
        "stir, wait. Dedicated vessels, never again for food.",
    ),
    Caution(
        "Fumes",
        "Overheated PVC gives off hydrogen chloride (ceiling 5 ppm, guideline 2): extraction, and a respirator by the "
        "supplier's sheet. Brown plastic: stop and leave.",
    ),
    Caution(
        "Temperature",
        "Under 160 °C plastisol has not fused and is weak; 160 to 180 °C is right; above 180 °C take care, above "
        "200 °C it decomposes fast, and from 220 °C on no pour is recommended.",
    ),
    Caution("Mixing", "Never mix an elastomer with plastisol in a pot."),
    Caution(
        "Burns",
        "A burn: cool running water for 20 minutes; do not peel plastic off; seek medical help.",
    ),
    Caution(
        "Others",
        "Children and pets out. Hooks, weights and baits are small parts. Rules on lead are local. Torn baits are "
        "litter: take them home.",
    ),
    Caution("Last word", "The supplier's sheet, local codes and licensed practice come first."),
)
"""With every shot, mould, master and sheet."""

PRINTED: tuple[Caution, ...] = (
    Caution(
        "Prints",
        "A print in PLA, PETG, ABS or standard resin softens far below the pour: it is a master only. A printed mould "
        "needs a deflection temperature 20 °C over the pour.",
    ),
    Caution(
        "Resin",
        "Uncured resin sensitises skin: gloves, ventilation, full cure. It also stops platinum silicone from setting.",
    ),
)
"""Where something is printed or cast: with every master, mould and sheet."""


def is_for_the_bench(normal: Mapping[str, Any]) -> bool:
    """Whether a request in normal form asks for anything that is poured, moulded or printed after it."""
    return any(name in normal for name in ("shot", "print", "sheet", "mould")) or any(
        output in normal["outputs"] for output in ("master", "mould", "sheet")
    )


def cautions_of(normal: Mapping[str, Any]) -> list[str]:
    """All that come with the answer to a request in normal form."""
    if not is_for_the_bench(normal):
        return list(EVERY_BAIT)
    said = [f"{each.topic}. {each.text}" for each in bench_cautions(normal)]
    return [*EVERY_BAIT, *said]


def bench_cautions(normal: Mapping[str, Any]) -> tuple[Caution, ...]:
    """Those of the bench alone."""
    only_shot = "shot" in normal and not any(name in normal for name in ("print", "sheet", "mould"))
    return BENCH if only_shot else (*BENCH[:-1], *PRINTED, BENCH[-1])
