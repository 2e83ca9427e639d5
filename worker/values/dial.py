"""A dial: one number of a bait that a remedy may turn, step by step, and the patch that each turn makes of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from worker.values.parameter import Parameter


@dataclass(frozen=True)
class Dial:
    """Up to `most` steps of one number of a request.

    `patch` is the RFC 7396 merge patch after so many steps, its values in normal form; `words` says that value.
    """

    most: int
    patch: Callable[[int], Mapping[str, Any]]
    words: Callable[[int], str]


def dial(
    parameter: Parameter, present: float, up: bool, patch: Callable[[float], Mapping[str, Any]], text: str
) -> Dial:
    """The dial of a number at `present`, on the parameter's steps and within its range; `{value}` in `text` is it.

    A number between two steps goes to the next one first.
    """
    at, way = present / parameter.step, 1 if up else -1
    start = math.floor(at + 1e-9) if up else math.ceil(at - 1e-9)
    bound = parameter.maximum if up else parameter.minimum
    furthest = math.floor(bound / parameter.step + 1e-9) if up else math.ceil(bound / parameter.step - 1e-9)

    def value_at(steps: int) -> float:
        exact = (start + way * steps) * parameter.step
        return round(exact) if parameter.kind == "whole" else round(exact, 6)

    def words(steps: int) -> str:
        return text.format(value=f"{value_at(steps):g}")

    return Dial(way * (furthest - start), lambda steps: patch(value_at(steps)), words)
