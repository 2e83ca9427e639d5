"""How a whole bait bends: its tip and its tails under a small force, its trunk under its own weight."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from worker.measures.bending.backbone import LINKS, Beam, beam_of_strand, beam_of_trunk
from worker.measures.bending.bending_length import bending_length
from worker.measures.bending.give import SIDE, UP_DOWN, tip_give_over
from worker.measures.bending.hanging import Chain, hung
from worker.measures.water.drag import GRAVITY
from worker.measures.water.spread import Spread
from worker.strands.roots import Array
from worker.strands.strand import Strand


@dataclass(frozen=True)
class Give:
    """mm per mN of force at the tip of `strand`, sideways and up or down."""

    strand: str
    side: float
    up_down: float


@dataclass(frozen=True)
class Bending:
    """mm, degrees below level. The profile's stiffnesses are N mm2, one a stretch: as stiff as it is on the whole."""

    hold: float
    give: Give
    tails: tuple[Give, ...]
    bending_length: float
    droop: Mapping[str, float]
    station: Array
    up_down: Array
    sideways: Array


@dataclass(frozen=True)
class Bent:
    """What bends: the trunk held at `hold` mm from its nose, and what grows out of it."""

    trunk: tuple[Strand, ...]
    limbs: tuple[Strand, ...]
    hollows: tuple[Strand, ...]
    spread: Spread
    hold: float


def bending_of(bent: Bent, modulus: float, density: float, waters: Mapping[str, float]) -> Bending:
    """Of plastic of `modulus` MPa and `density` g/cm3, in air and in `waters` (g/cm3)."""
    beam = beam_of_trunk(bent.trunk, bent.hold, bent.hollows)
    edges = beam.length * np.arange(2 * LINKS + 1) / (2 * LINKS)
    softness = beam.shared_out(1 / (modulus * beam.up_down), edges)
    chain = _chain(bent, beam, softness, density)
    angles = hung(chain)
    droop = {"air": math.degrees(angles[-1])}
    for name, water in waters.items():
        # What is lighter than water hangs upward as what is heavier does downward.
        share = (density - water) / density
        droop[name] = math.copysign(math.degrees(hung(chain.heavier(abs(share)))[-1]), share)
    side = beam.shared_out(1 / (modulus * beam.sideways), edges)
    link = beam.length / LINKS
    return Bending(
        bent.hold,
        _give("trunk", [beam], _tip_of_trunk(bent.trunk), modulus),
        tuple(_tails(bent, beam, modulus)),
        bending_length(chain, angles),
        droop,
        bent.hold + link * (np.arange(LINKS) + 0.5),
        link / (softness[::2] + softness[1::2]),
        link / (side[::2] + side[1::2]),
    )


def _chain(bent: Bent, beam: Beam, softness: Array, density: float) -> Chain:
    """The trunk laid straight, with its own weight and that of every limb where it grows, and how far that reaches."""
    length = beam.length
    link = length / LINKS
    newtons = density * GRAVITY / 1e6
    own = beam.shared_out(beam.area, link * np.arange(LINKS + 1)) * newtons
    reach = np.zeros(LINKS)
    roots = _roots_on_trunk(bent)
    for part in bent.spread.parts[1:]:
        station, x = roots[part.name]
        at = min(max(int((station - bent.hold) / link), 0), LINKS - 1)
        if station < bent.hold:
            continue  # it hangs ahead of the hold
        own[at] += part.volume * newtons
        # As far as it trails behind its root, or the tip, it turns what it grows from.
        reach[at] += part.volume * newtons * max(part.middle - x, 0.0)
    beyond = np.concatenate([np.cumsum(own[::-1])[::-1][1:], [0.0]])
    loads = link * (beyond + own / 2) + reach
    springs = 1 / np.concatenate([softness[:1], softness[1:-1:2] + softness[2::2]])
    return Chain((link,) * LINKS, tuple(springs.tolist()), tuple(loads.tolist()))


def _roots_on_trunk(bent: Bent) -> dict[str, tuple[float, float]]:
    """Of every limb where it, or what it grows from, leaves the trunk: mm along the trunk, and x there."""
    by_name = {limb.name: limb for limb in bent.limbs}
    found = {}
    for limb in bent.limbs:
        inner = limb
        while inner.root is not None and inner.root.parent in by_name:
            inner = by_name[inner.root.parent]
        if inner.root is None:
            raise TypeError(f"{limb.name} has no root")
        x = float(inner.path.frames(np.array([inner.root.leaves]))[0][0, 0])
        several = len(bent.trunk) > 1
        found[limb.name] = (x if several else inner.root.station, x)
    return found


def _tails(bent: Bent, trunk: Beam, modulus: float) -> list[Give]:
    """Every tail's own tip: the trunk bends as far as its root, then what it grows from, then the tail itself."""
    by_name = {limb.name: limb for limb in bent.limbs}
    roots = _roots_on_trunk(bent)
    gives = []
    for tail in bent.limbs:
        if tail.kind != "tail" or tail.root is None:
            continue
        beams, inner = [beam_of_strand(tail, tail.root.leaves)], tail
        while inner.root is not None and inner.root.parent in by_name:
            outer = by_name[inner.root.parent]
            if outer.root is None:
                raise TypeError(f"{outer.name} has no root")
            beams.append(beam_of_strand(outer, outer.root.leaves).until(inner.root.station))
            inner = outer
        beams.append(trunk.until(roots[tail.name][0]))
        tip = tail.path.frames(np.array([tail.path.length]))[0][0]
        gives.append(_give(tail.name, beams, tip, modulus))
    return gives


def _give(name: str, beams: Sequence[Beam], tip: Array, modulus: float) -> Give:
    side, up_down = (tip_give_over(beams, tip, force) / modulus / 1000 for force in (SIDE, UP_DOWN))
    return Give(name, side, up_down)


def _tip_of_trunk(trunk: Sequence[Strand]) -> Array:
    tips = [strand.path.frames(np.array([strand.path.length]))[0][0] for strand in trunk]
    tip = max(tips, key=lambda point: float(point[0]))
    # The middles of a trunk of several strands are taken to lie on one line.
    return tip if len(trunk) == 1 else np.array([float(tip[0]), 0.0, 0.0])
