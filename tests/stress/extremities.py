"""The extremities of a bait: what of it is pulled, and which joints lie between that and where the bait is held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.checks.subject import Subject
from worker.measures.hook.along import place_along
from worker.strands.strand import Strand

HELD = (0.20, 0.45)
"""Without a rig a bait is held here of its length, near its centre line (a tear section's other end)."""
TAIL_FROM = 0.85
TAPERING = 0.35
"""Of a strand that only tapers, what lies beyond this share of its length is pulled."""


@dataclass(frozen=True)
class Extremity:
    """`joints` are indices into the subject's; `pulled` (n,) tells which cells are taken hold of."""

    name: str
    joints: list[int]
    pulled: NDArray[np.bool_]


def centre_line(subject: Subject, length: float, share: tuple[float, float]) -> NDArray[np.float64]:
    """Points of the trunk's path between two shares of the bait's length, (200, 3) mm."""
    stations = np.linspace(share[0] * length, share[1] * length, 200).tolist()
    return np.array([place_along(subject.trunk_strands, station)[0] for station in stations])


def trunk_end(subject: Subject) -> float:
    """How far the trunk itself reaches from the nose, mm along the bait."""
    ends = (strand.path.frames(np.array([strand.path.length]))[0][0, 0] for strand in subject.trunk_strands)
    return float(max(ends))


def joint_ways(subject: Subject) -> NDArray[np.float64]:
    """The way of each joint's path, from the hold to the extremity: along it of a limb, along the bait of the trunk."""
    by_name = {strand.name: strand for strand in subject.strands}
    ways = []
    for joint, station in enumerate(subject.joints.station):
        group = subject.group_of(joint)
        if group.strand_kind == "trunk":
            x = place_along(subject.trunk_strands, float(station))[0][0]
            ways.append(np.array([1.0 if x > HELD[0] * trunk_end(subject) else -1.0, 0.0, 0.0]))
        else:
            _, left, back = by_name[group.strand].path.frames(np.array([station]))
            ways.append(np.cross(left[0], back[0]))
    return np.array(ways).reshape(-1, 3)


def joint_middles(subject: Subject) -> NDArray[np.float64]:
    """Where each joint's path point lies, (joints, 3) mm."""
    by_name = {strand.name: strand for strand in subject.strands}
    places = []
    for joint, station in enumerate(subject.joints.station):
        group = subject.group_of(joint)
        if group.strand_kind == "trunk":
            places.append(place_along(subject.trunk_strands, float(station))[0])
        else:
            places.append(by_name[group.strand].path.frames(np.array([station]))[0][0])
    return np.array(places).reshape(-1, 3)


def extremities(subject: Subject, cells: NDArray[np.float64], length: float) -> Iterator[Extremity]:
    """Every extremity that has a joint between it and the hold; of what is handed the left one."""
    middles = joint_middles(subject)
    owners = [subject.group_of(joint).strand for joint in range(len(middles))]
    of_trunk = [joint for joint in range(len(middles)) if subject.group_of(joint).strand_kind == "trunk"]
    behind = [joint for joint in of_trunk if middles[joint][0] > HELD[1] * length]
    ahead = [joint for joint in of_trunk if middles[joint][0] < HELD[0] * length]
    by_name = {strand.name: strand for strand in subject.strands}
    for limb in subject.limbs:
        if limb.name.startswith("right") or limb.kind == "eye":
            continue
        joints = [joint for joint, owner in enumerate(owners) if owner == limb.name]
        station, parent = _root(limb)
        while parent in by_name and by_name[parent].limb:
            joints += [j for j, own in enumerate(owners) if own == parent and subject.joints.station[j] < station]
            station, parent = _root(by_name[parent])
        joints += [joint for joint in behind if middles[joint][0] < station]
        joints += [joint for joint in ahead if middles[joint][0] > station]
        own = [float(subject.joints.station[joint]) for joint in joints if owners[joint] == limb.name]
        pulled = _beyond(limb, max(own, default=0.0), cells)
        if joints and pulled.any():
            yield Extremity(limb.name, joints, pulled)
    tailed = any(limb.kind == "tail" for limb in subject.limbs)
    if behind and not tailed and trunk_end(subject) > TAIL_FROM * length:
        yield Extremity("tail", behind, cells[:, 0] > TAIL_FROM * length)
    nose = cells[:, 0] < subject.hold
    if ahead and nose.any():
        first = min(float(middles[joint][0]) for joint in ahead)
        yield Extremity("nose", ahead, cells[:, 0] < min(subject.hold, 0.6 * first))


def _root(limb: Strand) -> tuple[float, str]:
    assert limb.root is not None
    return limb.root.station, limb.root.parent


def _beyond(limb: Strand, last_joint: float, cells: NDArray[np.float64]) -> NDArray[np.bool_]:
    """The limb's own cells beyond its greatest section, or beyond 35 % where it only tapers; (n,)."""
    length = limb.path.length
    stations = np.linspace(0.05 * length, 0.95 * length, 60)
    greatest = float(stations[limb.body.area(stations).argmax()])
    begin = max(greatest, TAPERING * length, last_joint + 1.5)
    nearest = limb.path.beside(cells)
    half = np.maximum(np.stack(limb.body.half_sizes(np.clip(nearest.station, 0, length))), 1e-6)
    reach = np.sqrt((nearest.left / half[0]) ** 2 + (nearest.back / half[1]) ** 2)
    far = np.sqrt(((cells - limb.path.frames(np.clip(nearest.station, 0, length))[0]) ** 2).sum(axis=1))
    return (nearest.station > begin) & (reach < 1.3) & (far < 1.5 * half.max())
