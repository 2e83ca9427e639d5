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
from worker.strands.strand import Root, Strand, root_of

Roots = dict[str, tuple[float, float]]
"""By a limb's name."""


@dataclass(frozen=True)
class Give:
    """mm per mN of force at the tip of `strand`, sideways and up or down."""

    strand: str
    side: float
    up_down: float


@dataclass(frozen=True)
class Bending:
    """mm, degrees below level. The profile's stiffnesses are N mm2, one a stretch: as stiff as it is on the whole.

    `hanging`: radians by which each stretch hangs below level in air.
    """

    hold: float
    give: Give
    tails: tuple[Give, ...]
    bending_length: float
    droop: Mapping[str, float]
    station: Array
    up_down: Array
    sideways: Array
    hanging: tuple[float, ...]


@dataclass(frozen=True)
class Bent:
    """What bends: the trunk held at `hold` mm from its nose, and what grows out of it."""

    trunk: tuple[Strand, ...]
    limbs: tuple[Strand, ...]
    hollows: tuple[Strand, ...]
    spread: Spread
    hold: float


def bending_of(bent: Bent, modulus: float, density: float, waters: Mapping[str, float]) -> Bending | None:
    """Of plastic of `modulus` MPa and `density` g/cm3, in air and in `waters` (g/cm3).

    None where hollows leave nothing of the bait behind where it is held.
    """
    beam = beam_of_trunk(bent.trunk, bent.hold, bent.hollows)
    edges = beam.length * np.arange(2 * LINKS + 1) / (2 * LINKS)
    softness = beam.shared_out(1 / (modulus * beam.up_down), edges)
    roots = _roots_on_trunk(bent)
    chain = _chain(bent, beam, softness, roots, density)
    if not any(chain.loads):
        return None
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
        trunk_give(bent.trunk, beam, modulus),
        tuple(_tails(bent, beam, roots, modulus)),
        bending_length(chain, angles),
        droop,
        np.asarray(bent.hold + link * (np.arange(LINKS) + 0.5)),
        link / (softness[::2] + softness[1::2]),
        link / (side[::2] + side[1::2]),
        tuple(angles),
    )


def trunk_give(trunk: Sequence[Strand], beam: Beam, modulus: float) -> Give:
    """Of the trunk's own tip, of plastic of `modulus` MPa; `beam` is the trunk's from where it is held."""
    return _give("trunk", [beam], _tip_of_trunk(trunk), modulus)


def _chain(bent: Bent, beam: Beam, softness: Array, roots: Roots, density: float) -> Chain:
    """The trunk laid straight, with its own weight and that of every limb where it grows, and how far that reaches."""
    length = beam.length
    link = length / LINKS
    newtons = density * GRAVITY / 1e6
    own = beam.shared_out(beam.area, np.asarray(link * np.arange(LINKS + 1))) * newtons
    reach = np.zeros(LINKS)
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


def _roots_on_trunk(bent: Bent) -> Roots:
    """Of every limb where it, or what it grows from, leaves the trunk: mm along the trunk, and x there."""
    by_name = {limb.name: limb for limb in bent.limbs}
    inner: dict[str, Root] = {}
    for limb in bent.limbs:
        root = root_of(limb)
        while root.parent in by_name:
            root = root_of(by_name[root.parent])
        inner[limb.name] = root
    places = {
        id(on): dict(zip(stations, on.path.frames(np.array(stations))[0][:, 0].tolist(), strict=True))
        for on in {id(root.on): root.on for root in inner.values()}.values()
        if (stations := [root.station for root in inner.values() if root.on is on])
    }
    several = len(bent.trunk) > 1
    found = {}
    for name, root in inner.items():
        x = places[id(root.on)][root.station]
        found[name] = (x if several else root.station, x)
    return found


def _tails(bent: Bent, trunk: Beam, roots: Roots, modulus: float) -> list[Give]:
    """Every tail's own tip: the trunk bends as far as its root, then what it grows from, then the tail itself."""
    by_name = {limb.name: limb for limb in bent.limbs}
    gives = []
    for tail in bent.limbs:
        if tail.kind != "tail":
            continue
        root = root_of(tail)
        beams = [beam_of_strand(tail, root.leaves)]
        while root.parent in by_name:
            station, outer = root.station, by_name[root.parent]
            root = root_of(outer)
            beams.append(beam_of_strand(outer, root.leaves).until(station))
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
