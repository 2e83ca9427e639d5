"""The shrimp: a carapace with horn, eyes, feelers and legs, an arched abdomen of plates, and a tail fan.

Its nose is the head end. All of it counts in the overall length: the horn, or the bow of the feelers where that is
ahead of it, and the fan or the abdomen's bend, whichever reaches further. The feelers' tips trail and never reach past.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.dress import hollows_of
from worker.styles.dress_parameters import BORES, RATTLE_POCKET_END, SLOT, WEIGHT_BORE_END
from worker.styles.limbs import grown
from worker.styles.shrimp_body import ShrimpBody
from worker.styles.shrimp_feasible import infeasible
from worker.styles.shrimp_layout import body_of
from worker.styles.shrimp_limbs import ShrimpLimbs
from worker.styles.shrimp_parameters import BODY, FAN, HEAD, LEGS
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter, Value

Items = tuple[tuple[str, Value], ...]
Limbs = Callable[[ShrimpLimbs], Iterator[Strand]]

# The fan grows at the rear: what is pushed into a shrimp goes in at its nose.
_FIXED: dict[str, Value] = {WEIGHT_BORE_END.name: "nose", RATTLE_POCKET_END.name: "nose"}
_DRESS = tuple(each for each in (*SLOT, *BORES) if each.name not in _FIXED)
_PARAMETERS: tuple[Parameter, ...] = (*BODY, *FAN, *HEAD, *LEGS, *_DRESS)
_GROUPS: tuple[tuple[Limbs, tuple[Parameter, ...]], ...] = (
    (ShrimpLimbs.fan, ()),
    (ShrimpLimbs.horn, ()),
    (ShrimpLimbs.eyes, ()),
    (ShrimpLimbs.feelers, ()),
    (ShrimpLimbs.legs, LEGS),
    (ShrimpLimbs.swimmerets, LEGS),
)
"""What grows out of the trunk, and the parameters that it depends on beside those that decide where the trunk lies."""


def _strands(params: Params) -> tuple[Strand, ...]:
    trunk = _of({**_FIXED, **params}, (*BODY, *FAN, *HEAD, *SLOT, *BORES))
    limbs = (_limbs_of(number_of, trunk, _of(params, own)) for number_of, (_, own) in enumerate(_GROUPS))
    return (_body(trunk).trunk, *(limb for group in limbs for limb in group))


def _of(params: Params, parameters: tuple[Parameter, ...]) -> Items:
    return tuple((parameter.name, params[parameter.name]) for parameter in parameters)


# A remedy tries many shrimps that differ in one parameter: what does not depend on it is not worked out again.


@lru_cache(maxsize=4)
def _body(items: Items) -> ShrimpBody:
    return body_of(dict(items))


@lru_cache(maxsize=4 * len(_GROUPS))
def _limbs_of(group: int, body_items: Items, items: Items) -> tuple[Strand, ...]:
    body = _body(body_items)
    limbs = _GROUPS[group][0](ShrimpLimbs(body, {**body.params, **dict(items)}))
    # A horn leaves along the carapace: there is no corner for a ball to roll in.
    blend = 0.0 if _GROUPS[group][0] is ShrimpLimbs.horn else number(body.params, "root_blend")
    return grown(limbs, body.trunk, blend)


def _hollows(params: Params) -> tuple[Strand, ...]:
    return hollows_of(_strands(params)[0], {**_FIXED, **params})


def _infeasible(params: Params) -> Iterator[Fault]:
    yield from infeasible({**_FIXED, **params}, _strands, {each.name: each for each in _PARAMETERS})


def _up(*names_and_words: tuple[str, str]) -> tuple[Remedy, ...]:
    return tuple(Remedy(name, up=True, text=f"{words} {{value}} mm") for name, words in names_and_words)


_BLEND = ("root_blend", "a root blend of")
_BODY = (
    Remedy("plate_depth", up=False, text="plates with edges of {value} mm"),
    *_up(("carapace_height", "a carapace height of"), ("carapace_width", "a carapace width of")),
    Remedy("taper", up=True, text="a taper of {value}"),
)

SHRIMP = Style(
    name="shrimp",
    title="Shrimp",
    summary="A carapace with horn, eyes, feelers and walking legs, an arched abdomen of plates, and a tail fan.",
    sentence=(
        "A {length} {style} of {segments} segments arched by {arch}, its carapace {carapace_height} high, "
        "with {leg_pairs} pair(s) of legs and {fan_lobes} lobe(s) to its fan"
    ),
    parameters=_PARAMETERS,
    strands=_strands,
    infeasible=_infeasible,
    hollows=_hollows,
    example={
        "style": "shrimp",
        "label": "Marsh shrimp",
        "params": {"length": "3 in", "arch": 30, "fan_lobes": 5, "segments": 6},
        "plastic": {"grade": "soft"},
    },
    remedies={
        "joint_pull": _BODY,
        "joint_pull of fan": _up(("fan_width", "fan lobes as wide as"), ("fan_thickness", "a fan as thick as"), _BLEND),
        "joint_pull of horn": _up(("horn_root", "a horn rooted at")),
        "joint_pull of eye": _up(("eye_stalks", "eyes of"), _BLEND),
        "joint_pull of feeler": _up(("feeler_root", "feelers rooted at"), _BLEND),
        "joint_pull of leg": _up(("leg_root", "legs rooted at"), _BLEND),
        "thin_feature": _BODY,
        "thin_feature of fan": _up(("fan_thickness", "a fan as thick as"), ("fan_width", "fan lobes as wide as")),
        "thin_feature of horn": _up(("horn_root", "a horn rooted at")),
        "thin_feature of eye": _up(("eye_stalks", "eyes of")),
        "thin_feature of feeler": (
            Remedy("feeler_tip", up=True, text="feelers of {value} mm at the tip", along=("feeler_root",)),
        ),
        "thin_feature of leg": (Remedy("leg_tip", up=True, text="legs of {value} mm at the tip", along=("leg_root",)),),
    },
)
