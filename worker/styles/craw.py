"""The craw: two ribbed lobes on a core, with claws, legs, feelers and a tail fan. Its nose is the line end."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from worker.errors import Fault
from worker.strands.attach import attach, attach_all
from worker.strands.strand import Strand
from worker.styles.craw_body import CrawBody
from worker.styles.craw_claws import Claw
from worker.styles.craw_feasible import infeasible
from worker.styles.craw_limbs import fan, feelers, legs
from worker.styles.craw_parameters import BODY, CLAWS, ENDS, EVERY, LEGS
from worker.styles.dress_feasible import slot_faults
from worker.styles.limbs import both
from worker.styles.slots import Slot
from worker.styles.style import Params, Remedy, Style
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter, Value

Items = tuple[tuple[str, Value], ...]
_BY_NAME = {parameter.name: parameter for parameter in EVERY}


def _strands(params: Params) -> tuple[Strand, ...]:
    body = _of(params, BODY)
    limbs = (_claws(body, _of(params, CLAWS)), _legs(body, _of(params, LEGS)), _rest(body, _of(params, ENDS)))
    return (*_trunk(body), *(strand for each in limbs for strand in each))


def _of(params: Params, parameters: tuple[Parameter, ...]) -> Items:
    return tuple((parameter.name, params[parameter.name]) for parameter in parameters)


# A remedy tries many craws that differ in one parameter: what does not depend on it is not worked out again.


@lru_cache(maxsize=4)
def _body(items: Items) -> CrawBody:
    return CrawBody(dict(items))


def _trunk(items: Items) -> tuple[Strand, ...]:
    body = _body(items)
    return body.core, body.left_lobe, body.right_lobe


@lru_cache(maxsize=4)
def _claws(body_items: Items, items: Items) -> tuple[Strand, ...]:
    body, params = _body(body_items), dict(body_items + items)
    palm, *fingers = Claw(params, body).strands()
    palm = attach(palm, body.left_lobe, number(params, "root_blend"))
    strands = [*both(palm, "right lobe")]
    # A finger leaves the palm's thin end along its length: there is no corner for a ball to roll in.
    for finger in attach_all(fingers, palm, 0.0):
        strands += both(finger, "right claw")
    return tuple(strands)


@lru_cache(maxsize=4)
def _legs(body_items: Items, items: Items) -> tuple[Strand, ...]:
    body, params = _body(body_items), dict(body_items + items)
    blend = number(params, "root_blend")
    strands: list[Strand] = []
    for leg in attach_all(tuple(legs(params, body)), body.left_lobe, blend):
        strands += both(leg, "right lobe")
    return tuple(strands)


@lru_cache(maxsize=4)
def _rest(body_items: Items, items: Items) -> tuple[Strand, ...]:
    """Feelers and fan, which grow out of the core."""
    body, params = _body(body_items), dict(body_items + items)
    blend = number(params, "root_blend")
    strands: list[Strand] = []
    limbs = (*feelers(params, body), *fan(params, body))
    rooted = attach_all([limb for limb, _ in limbs], body.core, blend)
    for limb, (_, handed) in zip(rooted, limbs, strict=True):
        strands += both(limb, "core") if handed else [limb]
    return tuple(strands)


def _hollows(params: Params) -> tuple[Strand, ...]:
    """A hook slot runs along the middle: between the lobes, and into the core that holds them."""
    body = _body(_of(params, BODY))
    slot = Slot.of(params, body.begin)
    return () if slot is None else (slot.strand(body.core),)


def _infeasible(params: Params) -> Iterator[Fault]:
    found = list(infeasible(params, _strands, _BY_NAME))
    body = _body(_of(params, BODY))
    yield from found or slot_faults(body.core, params, body.begin, held=True)


def _more(*names_and_words: tuple[str, str]) -> tuple[Remedy, ...]:
    return tuple(Remedy(name, up=True, text=f"{words} {{value}} mm") for name, words in names_and_words)


_BODY = (
    Remedy("rib_depth", up=False, text="ribs {value} mm deep"),
    *_more(("body_width", "a body width of")),
    Remedy("hook_slot_depth", up=False, text="a hook slot {value} of the height deep"),
    Remedy("flat_belly", up=False, text="a flat belly of {value}"),
)
_ROOT = ("root_blend", "a root blend of")
_REMEDIES = {
    "joint_pull": _BODY,
    "joint_pull of claw": _more(
        ("wrist_width", "wrists"),
        ("wrist_height", "wrists as high as"),
        _ROOT,
        ("claw_width", "claws as wide as"),
        ("claw_thickness", "claws as thick as"),
    ),
    "joint_pull of leg": _more(("leg_root", "legs rooted at"), _ROOT),
    "joint_pull of feeler": _more(("feeler_root", "feelers rooted at"), _ROOT),
    "joint_pull of fan": _more(("tail_fan", "a tail fan of"), _ROOT),
    "thin_feature": _BODY[:2],
    "thin_feature of claw": _more(
        ("claw_tip_thickness", "claw tips of"),
        ("wrist_height", "wrists as high as"),
        ("wrist_width", "wrists"),
        ("claw_width", "claws as wide as"),
    ),
    "thin_feature of leg": _more(("leg_tip", "leg tips of")),
    "thin_feature of feeler": _more(("feeler_tip", "feeler tips of")),
    "thin_feature of fan": _more(("tail_fan", "a tail fan of")),
}

CRAW = Style(
    name="craw",
    title="Craw",
    summary="Two ribbed lobes held by a core; claws trail from the rear, legs sweep back, feelers thin out.",
    sentence=(
        "A {length} {style}, its body {body_width} wide on a {core_width} core, with {claws} claws of "
        "{claw_length} of its length and {leg_pairs} pair(s) of legs"
    ),
    parameters=EVERY,
    strands=_strands,
    infeasible=_infeasible,
    example={
        "style": "craw",
        "label": "Creek craw",
        "params": {"length": "3-3/4 in", "claws": "pincer", "lobe_overlap": "1.5 mm"},
        "plastic": {"grade": "soft"},
    },
    remedies=_REMEDIES,
    hollows=_hollows,
)
