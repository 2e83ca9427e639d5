"""Tear sections beside the joints that planes see: what each is held to, and whether one is weaker than those."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from worker.checks.pull_limits import share_by_rig
from worker.checks.subject import Subject
from worker.measures.hook.along import place_along
from worker.measures.solid.tear_section import Mode, TearSection
from worker.strands.roots import Array
from worker.values.pulls import pull_of_kind

SAME_AREA = (0.85, 1.5)
"""A cut where a plane's joint is, between these shares of its area, is that joint (judgement)."""
WEAKER = 0.85
"""A cut counts before the planes only where its pull, uncertainty added, is under this share of theirs."""


@dataclass(frozen=True)
class Torn:
    """A tear section on a bait: the pull, N, it is held to, where along its strand (the trunk: from the nose) it lies,
    mm, and the joint, by its index, that a plane sees there."""

    subject: Subject
    section: TearSection
    station: float
    limit: float
    joint: int | None

    @cached_property
    def pulls(self) -> tuple[Mode, float, float, float]:
        """How it goes and at what pull, N: typical, low, high. Of a joint that a plane sees too, that joint's."""
        if self.joint is None:
            return self.section.pulls(self.subject.plastic)
        joints = self.subject.joints
        pull, low, high = (float(each[self.joint]) for each in (joints.pull, joints.pull_low, joints.pull_high))
        return "tear", pull, low, high

    @property
    def notch_factor(self) -> float:
        """By how much the notch raises the stress."""
        return self.section.notch_factor if self.joint is None else float(self.subject.joints.factor[self.joint])

    @property
    def share(self) -> float:
        """Its pull over what it is held to."""
        return self.pulls[1] / self.limit


def torn(subject: Subject, section: TearSection) -> Torn:
    """A tear section as it is on this bait, in this bait's plastic."""
    limb = next((limb for limb in subject.limbs if limb.name == section.extremity), None)
    if limb is not None:
        station = float(limb.path.nearest(section.middle[None])[0])
        limit = pull_of_kind(limb.kind, subject.request.normal["require"])
    else:
        trunk = subject.trunk_strands
        one = len(trunk) == 1
        station = float(trunk[0].path.nearest(section.middle[None])[0]) if one else float(section.middle[0])
        share = share_by_rig(subject.rig, np.array([station]))
        limit = subject.joint_limit * (1.0 if share is None else float(share[0]))
    return Torn(subject, section, station, limit, _joint_at(subject, section))


def weakest_torn(subject: Subject, sections: Sequence[TearSection]) -> Torn | None:
    """The tear section that is weaker than every joint that planes see, and that no plane sees; None without one."""
    every = [torn(subject, section) for section in sections]
    unseen = [each for each in every if each.joint is None]
    if not unseen:
        return None
    least = min(unseen, key=lambda each: round(each.share, 9))
    surely = least.share * (1 + least.section.uncertainty / least.section.area)
    return least if surely < WEAKER * plane_share(subject) else None


def plane_share(subject: Subject) -> float:
    """Pull over limit of the weakest joint that planes see; of a bait without a joint, of its thinnest place."""
    weakest = subject.weakest
    if weakest is None:
        return subject.rod_pull / subject.joint_limit
    return float(subject.joints.pull[weakest] / subject.joint_limits[weakest])


def _joint_at(subject: Subject, section: TearSection) -> int | None:
    """The joint of about the section's area that lies nearest to it, within half its own diameter."""
    places = _joint_places(subject)
    if len(places) == 0:
        return None
    joints = subject.joints
    away = np.sqrt(((places - section.middle) ** 2).sum(axis=1))
    share = section.area / joints.area
    same = (away <= joints.diameter / 2) & (share >= SAME_AREA[0]) & (share <= SAME_AREA[1])
    return int(np.where(same, away, np.inf).argmin()) if same.any() else None


def _joint_places(subject: Subject) -> Array:
    """Where each joint lies on its strand's path, (n, 3) mm; of what hollows leave standing, nowhere."""
    paths = {strand.name: strand.path for strand in subject.limbs}
    places = []
    for group in subject.joint_groups:
        for station in group.joints.station.tolist():
            if group.strand in paths:
                places.append(paths[group.strand].frames(np.array([station]))[0][0])
            elif group.strand == "trunk":
                places.append(place_along(subject.trunk_strands, station)[0])
            else:
                places.append(np.full(3, np.inf))
    return np.array(places).reshape(-1, 3)
