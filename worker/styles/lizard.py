"""The lizard: a broad head on a neck, four legs with knees, and a long tail."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.dress import dressed, hollows_of, with_dress
from worker.styles.dress_parameters import BORES, EYES, FLAT_BELLY, HEAD, RATTLE_POCKET_END, SLOT, WEIGHT_BORE_END
from worker.styles.limbs import grown
from worker.styles.lizard_body import LizardBody
from worker.styles.lizard_feasible import infeasible
from worker.styles.lizard_legs import legs
from worker.styles.lizard_parameters import BODY, LEGS
from worker.styles.style import Params, Remedy, Style
from worker.styles.tail_parameters import TAIL, TAIL_COUNT, TAIL_LENGTH, TAIL_LIE, TAIL_TIP_THICKNESS, tail_kind
from worker.styles.tails import TAIL_REMEDIES, tail_strands, trunk_length
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter, Value

Items = tuple[tuple[str, Value], ...]

# A lizard lies level in its mould, legs, tail and all.
_OWN_TAIL = {
    "tail": tail_kind("curl"),
    "tail_length": replace(TAIL_LENGTH, default=45.0),
    "tail_tip_thickness": replace(TAIL_TIP_THICKNESS, default=1.2),
    "tail_lie": replace(TAIL_LIE, default="flat"),
}
# It has one tail, and what is pushed into a lizard goes in at its nose.
_FIXED: dict[str, Value] = {TAIL_COUNT.name: 1, WEIGHT_BORE_END.name: "nose", RATTLE_POCKET_END.name: "nose"}
_DRESS = tuple(each for each in (HEAD, FLAT_BELLY, *SLOT, *BORES, *EYES) if each.name not in _FIXED)
_TAIL = tuple(_OWN_TAIL.get(each.name, each) for each in TAIL if each.name not in _FIXED)
_PARAMETERS: tuple[Parameter, ...] = (*BODY, *LEGS, *_TAIL, *_DRESS)


def _strands(params: Params) -> tuple[Strand, ...]:
    trunk = _trunk(_of(params, (*BODY, *LEGS[:2], *_TAIL, *_DRESS)))
    return (trunk, *_legs(trunk, _of(params, (*BODY, *LEGS))), *_tail(trunk, _of(params, (BODY[0], *_TAIL))))


def _of(params: Params, parameters: tuple[Parameter, ...]) -> Items:
    return (*_FIXED.items(), *((parameter.name, params[parameter.name]) for parameter in parameters))


# A remedy tries many lizards that differ in one parameter: what does not depend on it is not worked out again.


@lru_cache(maxsize=4)
def _trunk(items: Items) -> Strand:
    params = dict(items)
    return dressed(LizardBody(params, trunk_length(params)).trunk, params)


@lru_cache(maxsize=4)
def _legs(trunk: Strand, items: Items) -> tuple[Strand, ...]:
    params = dict(items)
    return grown(legs(params, trunk), trunk, number(params, "root_blend"))


@lru_cache(maxsize=4)
def _tail(trunk: Strand, items: Items) -> tuple[Strand, ...]:
    return tail_strands(trunk, dict(items))


def _hollows(params: Params) -> tuple[Strand, ...]:
    return hollows_of(_strands(params)[0], {**_FIXED, **params})


def _infeasible(params: Params) -> Iterator[Fault]:
    yield from infeasible({**_FIXED, **params}, _strands, {each.name: each for each in _PARAMETERS})


def _up(*names_and_words: tuple[str, str]) -> tuple[Remedy, ...]:
    return tuple(Remedy(name, up=True, text=f"{words} {{value}} mm") for name, words in names_and_words)


_BODY = (
    *_up(("body_width", "a body width of"), ("body_height", "a body height of")),
    Remedy("neck", up=True, text="a neck of {value}"),
)

LIZARD = Style(
    name="lizard",
    title="Lizard",
    summary="A broad head on a neck, four legs with knees that sweep back, and a long tail.",
    sentence=(
        "A {length} {style}, {body_width} wide, with a head of {head_width}, legs of {leg_length} on {foot} "
        "feet, and a {tail} tail of {tail_length} of its length"
    ),
    parameters=_PARAMETERS,
    strands=_strands,
    infeasible=_infeasible,
    hollows=_hollows,
    example={
        "style": "lizard",
        "label": "Ledge lizard",
        "params": {"length": "6 in", "leg_length": "26 mm", "foot": "flapper", "tail": "curl"},
        "plastic": {"grade": "medium"},
    },
    remedies=with_dress(
        {
            "joint_pull": _BODY,
            "joint_pull of leg": _up(("leg_root", "legs rooted at"), ("root_blend", "a root blend of")),
            "thin_feature": _BODY,
            "thin_feature of leg": (
                Remedy("leg_tip", up=True, text="legs of {value} mm at the tip", along=("leg_root",)),
                *_up(("foot_width", "feet as wide as")),
            ),
            **TAIL_REMEDIES,
        }
    ),
)
