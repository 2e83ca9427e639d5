"""What the parameters of a tube cannot be together."""

from __future__ import annotations

import math
from collections.abc import Iterator

from worker.errors import Fault
from worker.styles.heads import HEADS
from worker.styles.style import Params
from worker.styles.tube_measures import cut_from, solid_length, tentacle_thickness
from worker.styles.worm_parameters import number
from worker.values.told_bounds import at_most

LEAST_TENTACLE = 0.8
"""Least thickness of a tentacle, mm: thinner ones do not fill (judgement)."""
LEAST_BORE = 2.0
"""Least width of the inside, mm: a core pin thinner than this bends (judgement)."""
LEAST_RING = 3.0
"""Least length of hollow body ahead of the tentacles, mm (judgement)."""
LEAST_WALL = 1.2
"""Least plastic between the eyes' seats and the inside, along the bait, mm (judgement)."""


def faults(params: Params) -> Iterator[Fault]:
    """Every fault that can be told from the numbers."""
    outer, wall, length = (number(params, name) for name in ("outer", "wall", "length"))
    widest = at_most((outer - LEAST_BORE) / 2)
    if wall > widest + 1e-9:
        detail = f"A wall of {wall:g} mm leaves {outer - 2 * wall:.3g} mm inside of {outer:g} mm; {widest:g} mm does."
        yield Fault("/params/wall", "wall-too-thick", detail, {"minimum": 1.2, "maximum": widest, "unit": "mm"})
        return
    # The cuts reach half a wall into the hollow: they must not meet the other side's.
    ring = cut_from(params) - solid_length(params) - (outer / 2 - wall)
    if ring < LEAST_RING - 1e-9:
        most = math.floor(number(params, "tentacle_length") - 100 * (LEAST_RING - ring) / length + 1e-9)
        detail = (
            f"Tentacles over {number(params, 'tentacle_length'):g} % leave no whole wall behind a solid head of "
            f"{number(params, 'solid_head'):g} %; {'less of either' if most < 10 else f'{most} %'} does."
        )
        yield Fault(
            "/params/tentacle_length",
            "no-wall",
            detail,
            {"minimum": 10.0, "maximum": most, "unit": "%"} if most >= 10 else None,
        )
    yield from _head_faults(params)
    thickness = tentacle_thickness(params)
    if thickness < LEAST_TENTACLE - 1e-9:
        counts = (n for n in range(int(params["tentacles"]) - 1, 11, -1))
        fewer = next((n for n in counts if tentacle_thickness({**params, "tentacles": n}) >= LEAST_TENTACLE), None)
        detail = (
            f"{int(params['tentacles'])} tentacles would be {thickness:.3g} mm thick, under {LEAST_TENTACLE:g} mm; "
        )
        detail += "take narrower cuts or a wider tube." if fewer is None else f"{fewer} are thick enough."
        yield Fault(
            "/params/tentacles" if fewer else "/params/cut_width",
            "tentacles-too-thin",
            detail,
            {"minimum": 12, "maximum": fewer, "whole": True} if fewer else None,
        )


def _head_faults(params: Params) -> Iterator[Fault]:
    """The head and the eyes belong on what is solid."""
    solid, outer, length = solid_length(params), number(params, "outer"), number(params, "length")
    head = HEADS.get(str(params["head"]), 1.0) * outer / 2
    eyes = number(params, "eye_at") / 100 * length + number(params, "eye") / 2 + LEAST_WALL
    wanted = [(head, f"A {params['head']} head")] + [(eyes, "A head with eyes")] * (number(params, "eye") > 0)
    for long, what in wanted:
        if long > solid + 1e-9:
            least = math.ceil(100 * long / length)
            detail = f"{what} takes {long:.3g} mm and {solid:.3g} mm is solid; "
            detail += f"a solid head of {least} % is enough." if least <= 40 else "take a shorter head."
            allowed = {"minimum": least, "maximum": 40, "unit": "%"} if least <= 40 else None
            yield Fault("/params/solid_head", "head-not-solid", detail, allowed)
            return
