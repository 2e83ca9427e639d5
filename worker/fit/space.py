"""The room that a search moves in: a point has a share of its range for every fine axis, and a place on every list."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from worker.fit.axes import Axis, Values
from worker.values.parameter import Value

Point = tuple[float, ...]


@dataclass(frozen=True)
class Space:
    """Of the axes of a fit, in their order."""

    axes: tuple[Axis, ...]

    @cached_property
    def lists(self) -> tuple[tuple[Value, ...], ...]:
        """Every value of each listed axis; nothing of a fine one."""
        return tuple(axis.listed for axis in self.axes)

    @cached_property
    def ends(self) -> Point:
        """The greatest coordinate of each axis; the least is 0."""
        return tuple(
            float(len(listed) - 1) if listed else float(axis.maximum > axis.minimum)
            for axis, listed in zip(self.axes, self.lists, strict=True)
        )

    @cached_property
    def whole(self) -> tuple[bool, ...]:
        """Which axes are lists."""
        return tuple(bool(listed) for listed in self.lists)

    @property
    def named(self) -> tuple[bool, ...]:
        """Which axes are choices, whose order means nothing."""
        return tuple(bool(axis.choices) for axis in self.axes)

    @property
    def size(self) -> float:
        """How many baits there are; infinite where any axis is fine."""
        return math.prod(len(listed) if listed else math.inf for listed in self.lists)

    def values(self, point: Point) -> Values:
        """The values at a point, on steps and inside of the ranges."""
        found: list[Value] = []
        for axis, listed, end, at in zip(self.axes, self.lists, self.ends, point, strict=True):
            place = min(max(at, 0.0), end)
            if listed:
                found.append(listed[math.floor(place + 0.5)])
            else:
                found.append(axis.at(axis.minimum + place * (axis.maximum - axis.minimum)))
        return tuple(found)

    def point(self, values: Values) -> Point:
        """The point of values."""
        return tuple(self.coordinate(place, value) for place, value in enumerate(values))

    def coordinate(self, place: int, value: Value) -> float:
        """Of one value of the axis at `place`; a number need not be in the axis' range, nor on its steps."""
        axis, listed = self.axes[place], self.lists[place]
        if axis.choices:
            return float(axis.choices.index(str(value))) if value in axis.choices else 0.0
        if listed:
            return (float(value) - axis.minimum) / axis.step
        return (float(value) - axis.minimum) / ((axis.maximum - axis.minimum) or 1.0)
