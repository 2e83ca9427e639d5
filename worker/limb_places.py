"""Where the joints off the trunk lie along the bait, for whoever draws them on the bait's own axis."""

from __future__ import annotations

from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.measures.hook.along import place_along
from worker.strands.many import Many
from worker.values.parameter import six_digits


def limb_places(subject: Subject) -> list[dict[str, Any]]:
    """`{joint, along_mm}` of each joint off the trunk: its number, and mm behind the bait's foremost point.

    A limb's stations run along the limb, so that of its joint its path's point there is told; of what hollows leave
    standing beside the trunk, whose stations are the trunk's own, the trunk's.
    """
    by_name = {limb.name: limb for limb in subject.limbs}
    first = 1
    limbs, stations, told = [], [], dict[int, float]()
    for group in subject.joint_groups:
        numbers = range(first, first + len(group.joints))
        first += len(group.joints)
        if group.strand_kind == "trunk":
            continue
        if group.strand in by_name:
            limbs.append((by_name[group.strand], numbers))
            stations.append(group.joints.station)
            continue
        for number, station in zip(numbers, group.joints.station.tolist(), strict=True):
            told[number] = float(place_along(subject.trunk_strands, station)[0][0])
    if limbs:
        counts = [len(numbers) for _, numbers in limbs]
        points = Many(tuple(limb for limb, _ in limbs)).frames(np.concatenate(stations), counts)[0]
        every = [number for _, numbers in limbs for number in numbers]
        told.update(zip(every, points[:, 0].tolist(), strict=True))
    return [{"joint": number, "along_mm": six_digits(told[number])} for number in sorted(told)]
