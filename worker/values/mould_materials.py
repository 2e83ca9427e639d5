"""What moulds are made of: how they take heat, shrink, vent, fill and let go; each figure with where it comes from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.values.plastics import Range

_MEMORY = "from memory, handbook order of magnitude"
_PRACTICE = "common practice, no source"
_JUDGEMENT = "judgement"


@dataclass(frozen=True, slots=True)
class MouldMaterial:
    """One material of a mould.

    `shrinkage`: per cent of its length that a mould cast from a master loses; below 0 it grows. `vent`: depth of a vent
    for plastic that is poured or shot by hand. `least_fill`: thinnest part that fills. `undercut`: share of the local
    width that plastic may lie behind the mould: up to `low` it comes out by itself, past `high` it tears or does not
    come. `deflection`: temperature that it bears, None where no pour comes near it. `wall`: least thickness between a
    cavity and the outside or the next cavity. `cast`: whether it is cast round a master, so that dowels are part of it;
    else they are bought and stand in holes.
    """

    name: str
    summary: str
    conductivity: Range
    density: Range
    heat_capacity: Range
    shrinkage: Range
    vent: Range
    least_fill: Range
    undercut: Range
    deflection: Range | None
    wall: Range
    cast: bool

    @property
    def effusivity(self) -> float:
        """W s^0.5/(m2 K): the root of conductivity times density times heat capacity, typical values."""
        return effusivity(self.conductivity.typical, self.density.typical, self.heat_capacity.typical)

    def describe(self) -> dict[str, object]:
        """For an answer."""
        ranges = {
            "conductivity": self.conductivity,
            "density": self.density,
            "heat_capacity": self.heat_capacity,
            "shrinkage": self.shrinkage,
            "vent": self.vent,
            "least_fill": self.least_fill,
            "undercut": self.undercut,
            "deflection": self.deflection,
            "wall": self.wall,
        }
        told: dict[str, object] = {"name": self.name, "summary": self.summary, "cast": self.cast}
        return told | {name: each.describe() for name, each in ranges.items() if each is not None}


PLASTIC_CONDUCTIVITY = 0.17
PLASTIC_HEAT_CAPACITY = 1400.0
PLASTIC_DENSITY = 1020.0
"""Flexible PVC, W/(m K), J/(kg K) (generic figures of plasticised PVC) and kg/m3 (a medium plastic's)."""


def effusivity(conductivity: float, density: float, heat_capacity: float) -> float:
    """W s^0.5/(m2 K), of W/(m K), kg/m3 and J/(kg K)."""
    return math.sqrt(conductivity * density * heat_capacity)


PLASTIC_EFFUSIVITY = effusivity(PLASTIC_CONDUCTIVITY, PLASTIC_DENSITY, PLASTIC_HEAT_CAPACITY)


def wall_temperature(material: MouldMaterial, mould_c: float, pour_c: float) -> float:
    """Temperature, C, of the cavity's wall while the plastic cools: that of two thick bodies laid together.

    (e_mould T_mould + e_plastic T_pour) / (e_mould + e_plastic), with e the effusivities (Carslaw and Jaeger,
    Conduction of Heat in Solids, section 2.8, from memory). It stays so until the heat has gone through the mould's
    wall, in a second through metal: what a cooling time is reckoned with is the wall's resistance.
    """
    mould = material.effusivity
    return (mould * mould_c + PLASTIC_EFFUSIVITY * pour_c) / (mould + PLASTIC_EFFUSIVITY)


def mould_material(normal: Mapping[str, Any]) -> MouldMaterial:
    """Of a request in normal form: its mould's, else what is cast over its printed master, else aluminium."""
    cast = normal.get("print", {}).get("cast_in", "none")
    name = normal["mould"]["material"] if "mould" in normal else cast
    return MOULD_MATERIALS["aluminium" if name == "none" else name]


MOULD_MATERIALS: dict[str, MouldMaterial] = {
    material.name: material
    for material in (
        MouldMaterial(
            "aluminium",
            "Milled. Cools best and lasts; thin parts freeze before they fill unless it is warm.",
            conductivity=Range(120, 167, 210, "W/(m K)", "6061-T6, " + _MEMORY),
            density=Range(2650, 2700, 2800, "kg/m3", _MEMORY),
            heat_capacity=Range(870, 896, 960, "J/(kg K)", "6061-T6, " + _MEMORY),
            shrinkage=Range(0.0, 0.0, 0.0, "%", "milled to size"),
            vent=Range(0.05, 0.10, 0.15, "mm", _PRACTICE + ": 0.1 to 0.4 mm by hand, least in a stiff, tight mould"),
            least_fill=Range(1.0, 1.2, 1.5, "mm", _PRACTICE + "; the low value in a warm mould"),
            undercut=Range(0.05, 0.10, 0.20, "of the width", _PRACTICE + ": soft plastic strips over 5 to 20 %"),
            deflection=None,
            wall=Range(6, 8, 12, "mm", _PRACTICE),
            cast=False,
        ),
        MouldMaterial(
            "silicone",
            "Cast from a master. Bends out of undercuts, fills thin parts, cools slowly; wants a stiff box.",
            conductivity=Range(0.15, 0.20, 0.30, "W/(m K)", _MEMORY),
            density=Range(1050, 1150, 1350, "kg/m3", _MEMORY),
            heat_capacity=Range(1100, 1300, 1500, "J/(kg K)", _MEMORY),
            shrinkage=Range(0.0, 0.1, 0.6, "%", "addition-cured about 0, tin-cured up to the high value; from memory"),
            vent=Range(0.10, 0.20, 0.40, "mm", _PRACTICE),
            least_fill=Range(0.6, 0.8, 1.0, "mm", _PRACTICE),
            undercut=Range(0.10, 0.20, 0.40, "of the width", _JUDGEMENT + ": the mould gives as well as the bait"),
            deflection=Range(180, 200, 230, "C", "service temperature, from memory; the supplier's sheet comes first"),
            wall=Range(8, 12, 20, "mm", _JUDGEMENT + ": thinner it bulges"),
            cast=True,
        ),
        MouldMaterial(
            "plaster",
            "Cast from a master. Cheap; chips at undercuts and spits steam unless it is dried through and sealed.",
            conductivity=Range(0.20, 0.40, 0.70, "W/(m K)", _MEMORY),
            density=Range(1000, 1200, 1700, "kg/m3", _MEMORY),
            heat_capacity=Range(840, 1000, 1100, "J/(kg K)", _MEMORY),
            shrinkage=Range(-0.3, -0.2, 0.0, "%", "grows as it sets, by 0.05 to 0.3 %; from memory"),
            vent=Range(0.15, 0.25, 0.40, "mm", _PRACTICE),
            least_fill=Range(0.8, 1.0, 1.2, "mm", _JUDGEMENT),
            undercut=Range(0.02, 0.05, 0.10, "of the width", _JUDGEMENT + ": its edges chip"),
            deflection=None,
            wall=Range(12, 15, 25, "mm", _JUDGEMENT),
            cast=True,
        ),
        MouldMaterial(
            "resin",
            "Cast or printed. Fills thin parts; only a resin for high temperatures, fully cured, bears the pour.",
            conductivity=Range(0.15, 0.20, 0.35, "W/(m K)", _MEMORY),
            density=Range(1100, 1180, 1300, "kg/m3", _MEMORY),
            heat_capacity=Range(1100, 1300, 1600, "J/(kg K)", _MEMORY),
            shrinkage=Range(0.05, 0.2, 0.5, "%", "slow casting resin; from memory"),
            vent=Range(0.10, 0.15, 0.30, "mm", _PRACTICE),
            least_fill=Range(0.6, 0.8, 1.0, "mm", _PRACTICE),
            undercut=Range(0.05, 0.10, 0.20, "of the width", _PRACTICE + ": soft plastic strips over 5 to 20 %"),
            deflection=Range(
                120,
                180,
                238,
                "C",
                "high-temperature photopolymers after thermal cure, from memory; standard ones 46-62 C",
            ),
            wall=Range(6, 8, 12, "mm", _PRACTICE),
            cast=True,
        ),
    )
}
