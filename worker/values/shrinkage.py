"""How much a bait shrinks, and by how much a cavity or a master has to be larger for that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.values.blends import poured
from worker.values.mould_materials import MOULD_MATERIALS
from worker.values.own_plastics import name_of
from worker.values.prints import SHRINKAGES

PACKED_SHARE = 0.75
"""What is left of a grade's shrinkage where the injector packs the cavity until the gate has set. Judgement: moulders'
tables give flexible PVC 1.5 to 3 % from machines that pack, and its thermal contraction alone, 160e-6 a degree over 155
degrees (makeitfrom.com), would be 2.5 %."""


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """A share of a length that is lost, per cent, and where the figure comes from."""

    per_cent: float
    source: str

    @property
    def left(self) -> float:
        """What is left of a length, over that length."""
        return 1 - self.per_cent / 100


def of_plastic(normal: Mapping[str, Any]) -> Shrinkage:
    """The bait's, as poured by a request in normal form: measured, else its grade's, less where it is packed.

    Salt takes its share of the volume off either.
    """
    asked = normal["plastic"]
    typical = poured(asked).shrinkage.typical
    measured = asked.get("properties", {}).get("shrinkage")
    if measured is not None:
        return Shrinkage(typical, f"measured of {name_of(asked)}: {measured['source']}")
    if normal.get("shot", {}).get("packed", False):
        return Shrinkage(PACKED_SHARE * typical, "packed from the sprue: three quarters of the grade's (judgement)")
    return Shrinkage(typical, "flexible PVC shrinks by 1 to 3 % (moulders' tables); judgement")


def of_cast(asked: Mapping[str, Any]) -> Shrinkage:
    """The mould's that is cast over a master, from `print` in normal form."""
    if "mould_shrinkage_pct" in asked:
        return Shrinkage(asked["mould_shrinkage_pct"], "as measured")
    if asked["cast_in"] == "none":
        return Shrinkage(0.0, "nothing is cast")
    told = MOULD_MATERIALS[asked["cast_in"]].shrinkage
    return Shrinkage(told.typical, f"{told.low:g} to {told.high:g} %: {told.source}")


def of_print(asked: Mapping[str, Any]) -> Shrinkage:
    """The printed master's, from `print` in normal form."""
    if "print_shrinkage_pct" in asked:
        return Shrinkage(asked["print_shrinkage_pct"], "as measured")
    return Shrinkage(*SHRINKAGES[asked["material"]])


def cavity_scale(normal: Mapping[str, Any]) -> float:
    """Length of a cavity over that of the cold bait: 1 / (1 - s)."""
    return 1 / of_plastic(normal).left


def master_scale(normal: Mapping[str, Any]) -> float:
    """Length of a master as it is drawn over that of the cold bait: each step's 1 / (1 - s), multiplied."""
    asked = normal["print"]
    return 1 / (of_plastic(normal).left * of_cast(asked).left * of_print(asked).left)
