"""What every bait may wear, whatever its style: head, smooth nose, flat belly, slot, bores, eyes, egg band.

A style puts the declarations of `dress_parameters` that it takes among its parameters, passes its trunk through
`dressed`, gives `hollows_of` as its hollows, and asks `dress_feasible` what cannot be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from worker.strands.strand import Strand
from worker.styles.bores import bores_of
from worker.styles.dress_parameters import DRESS, RATTLE_POCKET_END
from worker.styles.eyes import Eye
from worker.styles.heads import zones_of
from worker.styles.slots import Slot
from worker.styles.style import Params, Remedy
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter
from worker.values.rows import Rows

PLAIN: dict[str, object] = {**{each.name: each.default for each in DRESS}, RATTLE_POCKET_END.name: "nose"}
"""A bait without any of it. A style that does not ask at which end a bore opens has it at the nose."""

WORN = ("head", "nose_smooth", "flat_belly", "hook_slot", "jig_bore", "weight_bore", "rattle_pocket", "eye", "egg_band")
"""The parameters that put something on; the others say of what size it is."""


def whole_dress(params: Params) -> Params:
    """The parameters with those written that a style does not take."""
    return {**PLAIN, **params}


def is_undressed(params: Params) -> bool:
    """Whether there is nothing to look at: every parameter as it is left out."""
    return all(params.get(name, plain) == plain for name, plain in PLAIN.items() if name in WORN)


def dressed(trunk: Strand, params: Params) -> Strand:
    """The trunk with its head, its smooth nose, its egg band and its flat belly."""
    params = whole_dress(params)
    if params["flat_belly"]:
        trunk = replace(trunk, section=replace(trunk.section, floor=floor_of(trunk, params)))
    zones = zones_of(trunk, params)
    return replace(trunk, zones=(*trunk.zones, *zones)) if zones else trunk


def floor_of(trunk: Strand, params: Params) -> float:
    """How far below the path a flat belly lies, mm: its share of the greatest height is cut off the deepest place."""
    stations = trunk.girth.stations
    height = max(station.back + station.belly for station in stations)
    return max(station.belly for station in stations) - number(params, "flat_belly") * height


def hollows_of(trunk: Strand, params: Params) -> tuple[Strand, ...]:
    """What is taken out of a trunk that `dressed` has given."""
    params = whole_dress(params)
    slot, eye = Slot.of(params), Eye.of(trunk, params)
    found = [] if slot is None else [slot.strand(trunk)]
    found += [bore.strand(trunk) for bore in bores_of(params)]
    return (*found, *(() if eye is None else eye.strands(trunk)))


_SHALLOWER = (
    Remedy("hook_slot_depth", up=False, text="a hook slot {value} of the height deep"),
    Remedy("hook_slot_width", up=False, text="a hook slot {value} mm wide"),
    Remedy("jig_bore", up=False, text="a jig bore of {value} mm"),
    Remedy("weight_bore", up=False, text="a weight bore of {value} mm"),
    Remedy("rattle_pocket", up=False, text="a rattle pocket of {value} mm"),
    Remedy("flat_belly", up=False, text="a flat belly of {value}"),
)
_ROOMIER = (
    Remedy("hook_slot_width", up=True, text="a hook slot {value} mm wide"),
    Remedy("hook_slot_length", up=True, text="a hook slot over {value} % of the length"),
    Remedy("hook_slot_at", up=True, text="a hook slot that begins at {value} % of the length"),
    Remedy("hook_slot_at", up=False, text="a hook slot that begins at {value} % of the length"),
)
DRESS_REMEDIES: dict[str, tuple[Remedy, ...]] = {
    "joint_pull": _SHALLOWER,
    "thin_feature": _SHALLOWER[-1:],
    "hook_slot": _ROOMIER,
}
"""What mends a trunk that its dress has weakened; a style adds them behind its own remedies."""


def with_dress(
    remedies: Mapping[str, tuple[Remedy, ...]], takes: Sequence[Parameter | Rows] = DRESS
) -> dict[str, tuple[Remedy, ...]]:
    """A style's remedies with those of the dress that it `takes` behind them."""
    names = {parameter.name for parameter in takes}
    dress = {check: [each for each in more if each.parameter in names] for check, more in DRESS_REMEDIES.items()}
    return {**remedies, **{check: (*remedies.get(check, ()), *more) for check, more in dress.items()}}
