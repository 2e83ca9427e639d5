"""Which parameter mends a limb that is in trouble, and the nearest value tried that does."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.styles.clearance import LEAST_GAP, gap
from worker.styles.limb_faults import Trouble, troubles
from worker.styles.style import Params
from worker.values.parameter import Parameter

MOST_TRIES = 8
"""Baits that are made for one refusal, so that it stays within a second."""
LOOKS = 5
"""Values of a parameter that are tried on the way to its bound, nearer ones closer together."""

Turn = tuple[str, bool]
"""A parameter and whether it grows."""


@dataclass
class Mender:
    """How limbs of one style are mended: `strands` of other parameters, which may raise ValueError.

    One mender answers one request: of its many faults the first get their range, until `tries` baits have been made.
    """

    params: Params
    parameters: Mapping[str, Parameter]
    strands: Callable[[Params], tuple[Strand, ...]]
    tries: int = MOST_TRIES

    def told(self, trouble: Trouble, turns: Sequence[Turn]) -> Fault:
        """The fault with the first of `turns` that mends it, and how far; with the first where none does."""
        for name, up in turns:
            for value in values_on_the_way(self.parameters[name], float(self.params[name]), up=up):
                if self.tries == 0:
                    break
                self.tries -= 1
                if self._mends({name: value}, trouble):
                    return fault_of(trouble, f"/params/{name}", self.parameters[name], value, up=up)
        return Fault(f"/params/{turns[0][0]}", trouble.code, trouble.detail, None)

    def _mends(self, changes: Mapping[str, float], trouble: Trouble) -> bool:
        params = {**self.params, **changes}
        try:
            trunk, *others = self.strands(params)
        except (RootOutside, HumpsHidden, ValueError):
            return False
        by_name = {strand.name: strand for strand in others}
        limb = by_name.get(trouble.limb.name)
        if limb is None:  # it has been left out
            return True
        paired = limb.name.replace("left", "right", 1) in by_name and limb.name.startswith("left")
        if next(troubles(limb, trunk, float(params["length"]), paired=paired), None) is not None:
            return False
        other = None if trouble.other is None else by_name.get(trouble.other.name)
        return other is None or gap(limb, other) >= LEAST_GAP


def values_on_the_way(parameter: Parameter, present: float, *, up: bool) -> Iterator[float]:
    """From the present value to the parameter's bound, on its steps."""
    bound = parameter.maximum if up else parameter.minimum
    seen = {present}
    for look in range(1, LOOKS + 1):
        share = look / LOOKS
        value = round(round((present + (bound - present) * share * share) / parameter.step) * parameter.step, 6)
        if parameter.minimum <= value <= parameter.maximum and value not in seen and (value > present) == up:
            seen.add(value)
            yield value


def fault_of(trouble: Trouble, pointer: str, parameter: Parameter, value: float, *, up: bool) -> Fault:
    """The fault, with the value that would do."""
    unit = {"unit": parameter.unit} if parameter.unit else {}
    detail = f"{trouble.detail} {parameter.title} {value:g}{parameter.unit and ' ' + parameter.unit} would do."
    return Fault(pointer, trouble.code, detail, {"minimum" if up else "maximum": value, **unit})
