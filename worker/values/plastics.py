"""Built-in plastics: each property a low, a typical and a high value and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass, replace

from worker.values.shore import shore_00_of

SALT_DENSITY_G_PER_CM3 = 2.165
"""Sodium chloride (from memory; a salt producers' page gives 2.1 to 2.6)."""

_SHRINKAGE = (1.0, 2.0, 3.0)
"""Per cent, of every grade."""
_JUDGEMENT = "from memory, judgement; a measured value of your own wins"
_OF_MODULUS = (
    "worked out of the modulus by the contact of a type 00 durometer's foot (Hertz), judgement: nothing is reckoned "
    "with it; a reading of your own, sent as a plastic's hardness, gives the modulus"
)


@dataclass(frozen=True, slots=True)
class Range:
    """One property: low, typical and high value in `unit`, and where they come from."""

    low: float
    typical: float
    high: float
    unit: str
    source: str

    def scaled(self, factor: float) -> Range:
        """The same range times `factor`."""
        return Range(self.low * factor, self.typical * factor, self.high * factor, self.unit, self.source)

    def describe(self) -> dict[str, object]:
        """For an answer."""
        return {
            "low": self.low,
            "typical": self.typical,
            "high": self.high,
            "unit": self.unit,
            "source": self.source,
        }


@dataclass(frozen=True, slots=True)
class Plastic:
    """A plastic as poured. Strength is nominal: force over unstretched area at which it parts.

    Shrinkage is the share of the mould's length, per cent, that a piece loses until it is cold.
    """

    name: str
    summary: str
    density: Range
    modulus: Range
    strength: Range
    tear_energy: Range
    shrinkage: Range

    @property
    def hardness(self) -> Range:
        """Shore 00 by the modulus: what a durometer would be expected to read, in whole units as it is read."""
        low, typical, high = (
            float(round(shore_00_of(each))) for each in (self.modulus.low, self.modulus.typical, self.modulus.high)
        )
        return Range(low, typical, high, "Shore 00", _OF_MODULUS)

    def describe(self) -> dict[str, object]:
        """For `GET /v1/plastics`."""
        return {
            "name": self.name,
            "summary": self.summary,
            "density": self.density.describe(),
            "hardness": self.hardness.describe(),
            "modulus": self.modulus.describe(),
            "strength": self.strength.describe(),
            "tear_energy": self.tear_energy.describe(),
            "shrinkage": self.shrinkage.describe(),
        }

    def with_salt(self, salt_wt_pct: float) -> Plastic:
        """The plastic with `salt_wt_pct` = salt over salt + plastic, by weight, 0 to 45.

        Density by mass fractions. With p the salt's share of the volume: strength times 1 - 1.21 p^(2/3)
        (Nicolais and Narkis, from memory), modulus times 1 + 2.5 p + 14.1 p^2 (Guth and Gold, from memory); shrinkage
        times 1 - p: salt does not shrink.
        """
        if salt_wt_pct == 0:
            return self
        salt = salt_wt_pct / 100
        specific_volume = (1 - salt) / self.density.typical + salt / SALT_DENSITY_G_PER_CM3
        share = salt / SALT_DENSITY_G_PER_CM3 / specific_volume
        weaker = 1 - 1.21 * share ** (2 / 3)
        return replace(
            self,
            density=Range(
                1 / ((1 - salt) / self.density.low + salt / SALT_DENSITY_G_PER_CM3),
                1 / specific_volume,
                1 / ((1 - salt) / self.density.high + salt / SALT_DENSITY_G_PER_CM3),
                self.density.unit,
                self.density.source,
            ),
            modulus=self.modulus.scaled(1 + 2.5 * share + 14.1 * share * share),
            strength=self.strength.scaled(weaker),
            shrinkage=self.shrinkage.scaled(1 - share),
        )


def _grade(
    name: str,
    summary: str,
    density: tuple[float, float, float],
    modulus: tuple[float, float, float],
    strength: tuple[float, float, float],
    tear_energy: tuple[float, float, float],
) -> Plastic:
    return Plastic(
        name,
        summary,
        Range(
            *density,
            "g/cm3",
            "very soft plastisol gel 1.00 +- 0.04 (Phys. Med. Biol. 50, 2005); the rest judgement",
        ),
        Range(*modulus, "MPa", _JUDGEMENT),
        Range(*strength, "MPa", _JUDGEMENT),
        Range(*tear_energy, "J/m2", _JUDGEMENT),
        Range(*_SHRINKAGE, "%", _JUDGEMENT),
    )


BUILT_IN: dict[str, Plastic] = {
    plastic.name: plastic
    for plastic in (
        _grade(
            "soft",
            "For finesse worms and craws: bends under its own weight.",
            (0.96, 1.00, 1.04),
            (0.06, 0.10, 0.18),
            (0.8, 1.5, 2.0),
            (300, 600, 1200),
        ),
        _grade(
            "medium",
            "For most worms and creature baits.",
            (0.98, 1.02, 1.06),
            (0.12, 0.22, 0.35),
            (1.5, 2.2, 3.0),
            (500, 1000, 2000),
        ),
        _grade(
            "firm",
            "For salt water and for baits that are cast hard and often.",
            (1.00, 1.05, 1.10),
            (0.30, 0.45, 0.80),
            (2.0, 3.0, 4.5),
            (1000, 2000, 4000),
        ),
    )
}
