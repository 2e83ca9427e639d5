"""What of a rig may be turned to mend a check, as a style's remedies are of its parameters."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from worker.checks.subject import Subject
from worker.measures.hook.along import trunk_length
from worker.values.dial import Dial, dial
from worker.values.parameter import Parameter
from worker.values.rigs import GAPE, WIRE
from worker.values.stations import in_text

STOUTEST = 1 / 7
"""Wire of the stoutest hooks over their gape (judgement): single hooks run from a fifteenth to an eighth."""


def rig_dials(subject: Subject, check: str) -> Iterator[Dial]:
    """The dials of the request's rig, the best first; none where it has no rig."""
    told = subject.request.normal.get("rig")
    if told is None:
        return
    if check == "hook_clearance":
        yield _of_hook(told, GAPE, "a hook of {value} mm gape")
    if check == "hook_slot":
        yield from _moves(subject)
        yield _of_hook(told, WIRE, "a hook of {value} mm wire", up=False)
    if check == "hook_tear_out":
        yield from _stouter(told)
        yield from _moves(subject)


def _of_hook(told: Mapping[str, Any], parameter: Parameter, text: str, *, up: bool = True) -> Dial:
    present = float(told["hook"][parameter.name])
    return dial(parameter, present, up, lambda value: {"rig": {"hook": {parameter.name: value}}}, text)


def _stouter(told: Mapping[str, Any]) -> Iterator[Dial]:
    """A stouter wire, as far as there are such hooks of this gape."""
    most = min(WIRE.maximum or 0.0, STOUTEST * float(told["hook"]["gape"]))
    if most > float(told["hook"]["wire"]):
        yield _of_hook(told, replace(WIRE, maximum=most), "a hook of {value} mm wire")


def _moves(subject: Subject) -> Iterator[Dial]:
    """The hook nearer to the nose, or to the tail, in whole millimetres."""
    if subject.rig is None:
        return
    present = round(subject.rig.station)
    furthest = int(trunk_length(subject.trunk_strands))
    for way, most in ((-1, present - 1), (1, furthest - present - 1)):
        yield Dial(most, _Moved(present, way).patch, _Moved(present, way).words)


class _Moved:
    """A hook moved `way` (1 or -1) mm at a step from `present` mm."""

    def __init__(self, present: int, way: int) -> None:
        self._present, self._way = present, way

    def patch(self, steps: int) -> Mapping[str, Any]:
        """See Dial."""
        return {"rig": {"station": in_text(self._present + self._way * steps)}}

    def words(self, steps: int) -> str:
        """See Dial."""
        return f"the hook {self._present + self._way * steps} mm from the nose"
