"""The shrimp: a carapace with horn, eyes, feelers and legs, an arched abdomen of plates, and a tail fan."""

from __future__ import annotations

from functools import lru_cache

from worker.strands.attach import attach
from worker.strands.strand import Strand
from worker.styles.limbs import both
from worker.styles.shrimp_layout import body_of
from worker.styles.shrimp_limbs import ShrimpLimbs
from worker.styles.style import Params
from worker.styles.worm_parameters import number

Items = tuple[tuple[str, object], ...]


def _strands(params: Params) -> tuple[Strand, ...]:
    return _made(tuple(params.items()))


@lru_cache(maxsize=4)  # asked before a bait is taken and to measure it
def _made(items: Items) -> tuple[Strand, ...]:
    params = dict(items)
    body, blend = body_of(params), number(params, "root_blend")
    limbs = ShrimpLimbs(body)
    strands = [body.trunk]
    for group in (limbs.fan, limbs.horn, limbs.eyes, limbs.feelers, limbs.legs, limbs.swimmerets):
        for limb in group():
            grown = attach(limb, body.trunk, blend)
            strands += both(grown, "trunk") if limb.name.startswith("left") else [grown]
    return tuple(strands)
