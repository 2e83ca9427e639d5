"""What checks look at: a request and every number that its strands give, each worked out once, when it is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from worker.measures.strand.bending import flexibility_ratio
from worker.measures.strand.joints import Joints, joints_of
from worker.measures.strand.size import Size, size_of
from worker.request import Request
from worker.strands.body import Body
from worker.strands.strand import Strand
from worker.values.plastics import BUILT_IN, Plastic
from worker.values.questions import CHECKS

PULL_BY_GIRTH: tuple[tuple[float, float], ...] = ((7.0, 8.0), (12.0, 15.0), (float("inf"), 20.0))
"""Greatest girth of the trunk up to mm, and the pull in N that every joint of it is held to (judgement)."""


@dataclass(frozen=True)
class Thinnest:
    """The thinnest place between two thicker ones: mm across, at mm from the nose."""

    across: float
    station: float


@dataclass(frozen=True)
class Subject:
    """A request seen through its strands. Arithmetic alone.

    `known` holds the strands of every subject that was patched from one and the same: a remedy in firmer plastic asks
    for the bodies that were worked out in the soft one.
    """

    request: Request
    known: dict[str, tuple[Strand, ...]] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def strands(self) -> tuple[Strand, ...]:
        """The strands of the request's style."""
        style, params = self.request.style, self.request.params
        # Parameters stand in the order of their declaration, so equal ones have equal texts.
        key = f"{style.name} {params!r}"
        if key not in self.known:
            self.known[key] = style.strands(params)
        return self.known[key]

    @property
    def trunk(self) -> Strand:
        """The strand that everything hangs on."""
        return self.strands[0]

    @property
    def body(self) -> Body:
        """The trunk's body."""
        return self.trunk.body

    @cached_property
    def plastic(self) -> Plastic:
        """The plastic as it will be poured, salt and all."""
        asked = self.request.normal["plastic"]
        return BUILT_IN[asked["grade"]].with_salt(asked["salt_wt_pct"])

    @cached_property
    def size(self) -> Size:
        """Length, width, height, volume, surface."""
        return size_of(self.body, self.body.grid())

    @property
    def pieces(self) -> int:
        """How many pieces the trunk falls into."""
        return len(self.body.runs)

    @cached_property
    def joints(self) -> Joints:
        """Every neck of the trunk."""
        return joints_of(self.body, self.plastic.strength)

    @cached_property
    def joint_limit(self) -> float:
        """The pull, N, that every joint of the trunk is held to."""
        asked = self.request.normal["require"].get("joint_pull_n")
        if asked is not None:
            return float(asked)
        girth = 2 * float(self.body.side.crest_y.max())
        first, *rest = PULL_BY_GIRTH
        if girth < first[0]:
            return first[1]
        return next(pull for up_to, pull in rest if girth <= up_to)

    @cached_property
    def weakest(self) -> int | None:
        """Index of the joint with the smallest pull over its limit; None in several pieces or without a joint."""
        if self.pieces > 1 or len(self.joints) == 0:
            return None
        # Equal joints differ in their last bits only; the first of them is named, on every machine.
        pull = self.joints.pull
        return int(np.flatnonzero(pull <= float(pull.min()) * (1 + 1e-9))[0])

    @property
    def rod_pull(self) -> float:
        """Pull, N, of the thinnest crest itself: what bears where beads run into a rod without a neck."""
        crest = float((self.body.side.crest_y * self.body.height.crest_y).min())
        return self.plastic.strength.typical * float(np.pi) * crest

    @cached_property
    def thinnest(self) -> Thinnest:
        """Diameter of the largest ball that passes the thinnest place; the tips' own last thickness is left out."""
        crest = 2 * np.minimum(self.body.side.crest_y, self.body.height.crest_y)
        at = self.body.side.crest_x
        if len(self.joints):
            neck = 2 * np.minimum(self.joints.half_width, self.joints.half_height)
            crest, at = np.concatenate([neck, crest]), np.concatenate([self.joints.station, at])
        least = int(np.flatnonzero(crest <= float(crest.min()) * (1 + 1e-9))[0])
        return Thinnest(float(crest[least]), float(at[least]))

    @cached_property
    def flexibility_ratio(self) -> float | None:
        """How much more easily the bait bends than without its relief."""
        return flexibility_ratio(self.body, self.trunk.smooth)

    def limit(self, check: str) -> float:
        """The limit of a check that has one of its own: the request's, or the default."""
        declared = CHECKS[check].limit
        if declared is None:
            raise KeyError(check)
        return float(self.request.normal["checks"].get(check, {}).get("limit", declared.default))

    def silenced(self, check: str) -> bool:
        """Whether the request asks not to be told."""
        return bool(self.request.normal["checks"].get(check, {}).get("silence", False))

    def with_patch(self, patch: Mapping[str, Any]) -> Subject | None:
        """The subject of the patched request; None where that cannot exist."""
        changed = self.request.changed(patch)
        if any(True for _ in changed.style.infeasible(changed.params)):
            return None
        return Subject(changed, self.known)
