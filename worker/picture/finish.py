"""What the plastic looks like: its colour, how deep light goes into it, and the glitter in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from worker.picture.colour import Triple, linear_from_hex, luminance
from worker.picture.lie import Lie


@dataclass(frozen=True, slots=True)
class Glitter:
    """Flat hexagonal flakes stirred into the plastic.

    `colour` is linear light, 0 to 1; `size_mm` the hexagon's width across flats; `per_cm3` flakes in a cubic
    centimetre of plastic. Raises ValueError for a size that is not positive or a negative number of flakes.
    """

    colour: Triple
    size_mm: float
    per_cm3: float

    def __post_init__(self) -> None:
        _check_colour(self.colour)
        if not 0 < self.size_mm < 100:
            raise ValueError(f"a flake of {self.size_mm} mm cannot be drawn")
        if not 0 <= self.per_cm3 < 1e6:
            raise ValueError(f"{self.per_cm3} flakes in a cubic centimetre cannot be drawn")


@dataclass(frozen=True, slots=True)
class Finish:
    """The look of a bait.

    `colour` is linear light, 0 to 1. `translucency` runs from 0 (pigmented through and through) to 1 (nearly
    clear); left out it follows from the colour. A `fluorescent` dye shines where light that it made inside comes out.
    `lie` tells of a bait of several colours, whose first is `colour`. Raises ValueError when either is out of range.
    """

    colour: Triple
    translucency: float | None = None
    glitter: Glitter | None = None
    fluorescent: bool = False
    lie: Lie | None = None

    def __post_init__(self) -> None:
        _check_colour(self.colour)
        if self.translucency is not None and not 0 <= self.translucency <= 1:
            raise ValueError(f"translucency lies between 0 and 1, not at {self.translucency}")

    @property
    def each(self) -> tuple[Finish, ...]:
        """One finish for every colour, each as if all of the bait had it."""
        if self.lie is None:
            return (self,)
        return tuple(replace(self, colour=colour, lie=None) for colour in self.lie.colours)

    @property
    def clarity(self) -> float:
        """The translucency given, or that which a plastic of this colour usually has."""
        return usual_translucency(self.colour) if self.translucency is None else self.translucency

    @property
    def reach_mm(self) -> float:
        """How far light goes into the plastic before it has faded to 1/e."""
        return 0.7 + 8.0 * self.clarity**2


def usual_translucency(colour: Triple) -> float:
    """Translucency by colour, a judgement from what is poured.

    White and black take a full load of pigment and let little light in; dyed colours of middle lightness, smoke and
    the clear greys let the most in.
    """
    light = luminance(colour)
    purity = max(colour) - min(colour)
    dye = min(1.0, 14.0 * light) * (1.0 - 0.55 * max(0.0, light - 0.30) / 0.70)
    milk = max(0.0, light - 0.75) / 0.25 * (1.0 - purity)
    return 0.30 + 0.52 * dye + 0.14 * purity - 0.20 * milk


def finish_from_request(finish: Mapping[str, object]) -> Finish:
    """The finish of a request in normal form: colours as "#rrggbb", `glitter` an object or None.

    Raises ValueError where a value is not one of those.
    """
    glitter = finish.get("glitter")
    flakes = None
    if isinstance(glitter, Mapping):
        flakes = Glitter(
            linear_from_hex(str(glitter["colour"])), _number(glitter["size_mm"]), _number(glitter["per_cm3"])
        )
    elif glitter is not None:
        raise ValueError("glitter is an object or null")
    clarity = finish.get("translucency")
    shines = finish.get("fluorescent") is True
    return Finish(linear_from_hex(str(finish["colour"])), None if clarity is None else _number(clarity), flakes, shines)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ValueError(f"{value!r} is not a number")
    return float(value)


def _check_colour(colour: Triple) -> None:
    if len(colour) != 3 or not all(0 <= channel <= 1 for channel in colour):
        raise ValueError(f"a colour is three numbers between 0 and 1, not {colour!r}")
