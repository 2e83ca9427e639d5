"""What checks look at: a request and every number that its strands give, each worked out once, when it is asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from worker.checks.limb_groups import helped, limb_groups
from worker.checks.places import Thinnest, thinnest_of_trunk
from worker.checks.pull_limits import pull_of_girth, share_by_rig
from worker.measures.hook.along import held_at_nose
from worker.measures.hook.crossing import Held, held, less_hook
from worker.measures.hook.rig import Rig, rig_of
from worker.measures.strand.bending import flexibility_ratio
from worker.measures.strand.covered import with_roots
from worker.measures.strand.hollows import taken_out
from worker.measures.strand.joints import JointGroup, Joints
from worker.measures.strand.left_extent import less_hollows
from worker.measures.strand.ligament_joints import ligament_joints
from worker.measures.strand.limb_joints import thinnest_each_way
from worker.measures.strand.necks import necks_of
from worker.measures.strand.pieces import pieces_of
from worker.measures.strand.size import Size, size_of
from worker.measures.strand.trunk import trunk_flexibility, trunk_girth
from worker.measures.strand.whole import size_of_all
from worker.request import Request, faults_on
from worker.strands.body import Body
from worker.strands.ligament import Ligament
from worker.strands.roots import Array
from worker.strands.strand import Strand, StrandKind
from worker.values.blends import poured
from worker.values.plastics import Plastic
from worker.values.pulls import pull_of_kind
from worker.values.questions import CHECKS


@dataclass(frozen=True)
class Subject:
    """A request seen through its strands. Arithmetic alone.

    `known` holds the strands of every subject patched from one and the same: a firmer plastic asks for the same bodies.
    `mends`: whether checks look for remedies.
    """

    request: Request
    known: dict[str, tuple[Strand, ...]] = field(default_factory=dict, repr=False, compare=False)
    mends: bool = True

    @cached_property
    def strands(self) -> tuple[Strand, ...]:
        """The strands of the request's bait."""
        bait = self.request.bait
        if bait.key not in self.known:
            self.known[bait.key] = bait.strands()
        return self.known[bait.key]

    @property
    def trunk(self) -> Strand:
        """The strand that everything hangs on; of a trunk of several, the first."""
        return self.strands[0]

    @cached_property
    def trunk_strands(self) -> tuple[Strand, ...]:
        """The strands that make the trunk together: most baits have one."""
        return tuple(strand for strand in self.strands if not strand.limb)

    @cached_property
    def limbs(self) -> tuple[Strand, ...]:
        """The strands that grow out of others."""
        return tuple(strand for strand in self.strands if strand.limb)

    @property
    def body(self) -> Body:
        """The trunk's body."""
        return self.trunk.body

    @cached_property
    def plastic(self) -> Plastic:
        """The plastic as it will be poured and used, salt and all."""
        return poured(self.request.normal["plastic"])

    @cached_property
    def hollows(self) -> tuple[Strand, ...]:
        """What is taken out of the strands."""
        key = f"hollows of {self.request.bait.key}"
        if key not in self.known:
            self.known[key] = self.request.bait.hollows()
        return self.known[key]

    @cached_property
    def unknown_hollows(self) -> tuple[Strand, ...]:
        """Those of which the style does not know what they take, nor whether the bait stays whole."""
        known = self.request.bait.taken().names
        return tuple(each for each in self.hollows if each.name not in known)

    @cached_property
    def ligaments(self) -> tuple[Ligament, ...]:
        """What the hollows leave standing and the bait hangs by."""
        return self.request.bait.ligaments()

    @cached_property
    def whole(self) -> Size:
        """Length, width, height, volume, surface, before anything is taken out."""
        if len(self.strands) == 1 and self.trunk.path.straight:
            return size_of(self.body)
        return size_of_all(self.trunk_strands, self.limbs)

    @cached_property
    def taken(self) -> tuple[float, float]:
        """Volume, mm3, that hollows take away, and by how much the skin grows, mm2."""
        known, (volume, skin) = self.request.bait.taken(), taken_out(self.unknown_hollows, self.strands)
        return volume + known.volume, skin + known.skin

    @cached_property
    def size(self) -> Size:
        """Length, width, height, volume, surface."""
        whole, (volume, skin) = self.whole, self.taken
        left = replace(whole, volume=whole.volume - volume, surface=whole.surface + skin)
        return less_hollows(left, self.strands, self.hollows)

    @cached_property
    def pieces(self) -> int:
        """How many pieces the bait falls into; limbs hang on their parents by their making."""
        return pieces_of(self.strands, self.unknown_hollows)

    @cached_property
    def rig(self) -> Rig | None:
        """The rig that the request tells, on this bait."""
        return rig_of(told, self.trunk_strands) if (told := self.request.normal.get("rig")) is not None else None

    @cached_property
    def hook(self) -> Held | None:
        """What the rig's hook holds."""
        return None if self.rig is None else held(self.rig, self.trunk_strands, self.hollows, self.plastic)

    @property
    def hold(self) -> float:
        """Where the bait is held when it bends: where the hook leaves the nose, mm along the trunk; not behind half."""
        hooked = None if self.rig is None else self.rig.hold_station
        return hooked or held_at_nose(self.trunk_strands)

    @cached_property
    def joint_groups(self) -> tuple[JointGroup, ...]:
        """The joints of the trunk, then of every limb."""
        strength, require = self.plastic.strength, (request := self.request).normal["require"]
        joints, kinds = necks_of(self.trunk_strands, self.hollows, strength, request.notch_rounding)
        alone = less_hook(joints, self.rig, self.hook)
        joints = with_roots(alone, self.strands, self.hollows, strength)
        share = share_by_rig(self.rig, joints.station)
        more = helped(alone, joints)
        groups = [JointGroup("trunk", "trunk", kinds, self.joint_limit, joints, share=share, helped=more)]
        groups += limb_groups(self.strands, self.hollows, strength, require, request.notch_rounding)
        for ligament in self.ligaments:
            limit = self.joint_limit if ligament.kind == "trunk" else pull_of_kind(ligament.kind, require)
            group = ligament_joints(ligament, limit, strength, request.notch_rounding)
            trunk_share = share_by_rig(self.rig, group.joints.station) if ligament.kind == "trunk" else None
            groups.append(replace(group, share=trunk_share))
        return tuple(groups)

    @cached_property
    def joints(self) -> Joints:
        """Every joint, the trunk's first."""
        return Joints.together([group.joints for group in self.joint_groups])

    @cached_property
    def joint_limits(self) -> Array:
        """The pull, N, that each joint is held to."""
        return np.concatenate([group.limits for group in self.joint_groups])

    def group_of(self, joint: int) -> JointGroup:
        """The group that a joint belongs to."""
        ends = np.cumsum([len(group.joints) for group in self.joint_groups])
        return self.joint_groups[int(np.searchsorted(ends, joint, side="right"))]

    @cached_property
    def joint_limit(self) -> float:
        """The pull, N, that every joint of the trunk is held to."""
        return float(self.request.normal["require"].get("joint_pull_n", pull_of_girth(self.girth)))

    @cached_property
    def girth(self) -> float:
        """Greatest width of the trunk, mm."""
        one = len(self.trunk_strands) == 1
        return 2 * float(self.body.side.crest_y.max()) if one else trunk_girth(self.trunk_strands)

    @cached_property
    def weakest(self) -> int | None:
        """Index of the joint with the smallest pull over its limit; None in several pieces or without a joint."""
        if self.pieces > 1 or len(self.joints) == 0:
            return None
        share = self.joints.pull / self.joint_limits  # equal ones differ in their last bits; the first is named
        return int(np.flatnonzero(share <= float(share.min()) * (1 + 1e-9))[0])

    @property
    def rod_pull(self) -> float:
        """Pull, N, of the thinnest crest: what bears where beads run into a rod without a neck."""
        return self.plastic.strength.typical * float(self.body.section.area(*self.body.crests).min())

    @cached_property
    def thinnest(self) -> Thinnest:
        """Diameter of the largest ball that passes the thinnest place; the tips' own last thickness is left out."""
        return min(self.thin_places, key=lambda place: round(place.across, 9))

    @cached_property
    def thin_places(self) -> tuple[Thinnest, ...]:
        """The thinnest place of the trunk, of every kind of limb and of what hollows leave."""
        places = map(self.thinnest_of_kind, dict.fromkeys(("trunk", *(limb.kind for limb in self.limbs))))
        return (*places, *(Thinnest(each.across, each.station, each.name, each.kind) for each in self.ligaments))

    def thinnest_of_kind(self, kind: StrandKind, ways: Sequence[int] = (0, 1)) -> Thinnest:
        """The same, of all strands of one kind; `ways` may ask for their widths (0) or heights (1) alone."""
        if kind == "trunk":
            return self._thinnest_of_trunk
        limbs = [(limb, thinnest_each_way(limb)) for limb in self.limbs if limb.kind == kind]
        places = [Thinnest(*each[way], limb.name, kind, way) for limb, each in limbs for way in ways]
        return min(places, key=lambda place: round(place.across, 9))

    @property
    def _thinnest_of_trunk(self) -> Thinnest:
        return thinnest_of_trunk(self.trunk_strands, self.joint_groups[0].joints)

    @cached_property
    def flexibility_ratio(self) -> float | None:
        """How much more easily the bait bends than without its relief."""
        if len(self.trunk_strands) == 1:
            return flexibility_ratio(self.body, self.trunk.smooth, self.hold)
        return trunk_flexibility(self.trunk_strands, self.hold) if self.pieces == 1 else None

    def limit(self, check: str) -> float:
        """The limit of a check that has one of its own: the request's, or the default."""
        if (declared := CHECKS[check].limit) is None:
            raise KeyError(check)
        return float(self.request.normal["checks"].get(check, {}).get("limit", declared.default))

    def silenced(self, check: str) -> bool:
        """Whether the request asks not to be told."""
        return bool(self.request.normal["checks"].get(check, {}).get("silence", False))

    def with_patch(self, patch: Mapping[str, Any]) -> Subject | None:
        """The subject of the patched request; None where that cannot exist."""
        changed = self.request.changed(patch)
        if any(True for _ in changed.bait.infeasible()):
            return None
        other = Subject(changed, self.known)
        faults = faults_on(changed.normal, other.trunk_strands, other.hollows, lambda: other.size.volume)
        return None if any(True for _ in faults) else other
