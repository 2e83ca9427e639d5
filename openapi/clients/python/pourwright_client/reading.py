"""From an answer's JSON to the values of `records`. Raises ServiceFailed for what is no such answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from functools import wraps
from typing import Any, TypeVar

from pourwright_client.errors import ServiceFailed
from pourwright_client.problem import Problem
from pourwright_client.records import (
    Bait,
    Batch,
    BatchItem,
    Check,
    File,
    Fit,
    Json,
    Link,
    Remedy,
    Webhook,
)

Value = TypeVar("Value")


def _strictly(read: Callable[[Json], Value]) -> Callable[[Json], Value]:
    """What is missing from an answer that was 2xx is nobody's request's fault: another server, or a broken proxy."""

    @wraps(read)
    def reading(told: Json) -> Value:
        try:
            return read(told)
        except (KeyError, TypeError, AttributeError) as reason:
            detail = f"The answer is not what this call answers ({read.__name__}: {reason!r})."
            raise ServiceFailed(Problem("about:blank", "Another answer", detail)) from reason

    return reading


def known(kind: type[Any], told: Json, **read: Any) -> dict[str, Any]:
    """The members of `told` that this kind has, those in `read` in place of what was told."""
    names = {each.name for each in fields(kind)} - {"raw"}
    return {name: value for name, value in told.items() if name in names} | read


def _problem(told: Json) -> Problem | None:
    found = told.get("problem")
    return Problem.read(found) if isinstance(found, Mapping) else None


def _checks(told: Json) -> tuple[Check, ...]:
    return tuple(
        Check(**known(Check, one, remedies=tuple(Remedy(**known(Remedy, each)) for each in one["remedies"])))
        for one in told["checks"]
    )


def _files(told: Json) -> tuple[File, ...]:
    return tuple(File(**known(File, one)) for one in told["files"])


@_strictly
def bait(told: Json) -> Bait:
    read = {"checks": _checks(told), "files": _files(told), "cautions": tuple(told["cautions"])}
    places = tuple(told.get("limb_places", ()))
    return Bait(**known(Bait, told, **read, limb_places=places, problem=_problem(told)), raw=told)


@_strictly
def fit(told: Json) -> Fit:
    return Fit(**known(Fit, told, files=_files(told), problem=_problem(told)), raw=told)


@_strictly
def batch(told: Json) -> Batch:
    items = tuple(BatchItem(**known(BatchItem, one, problem=_problem(one))) for one in told["items"])
    return Batch(**known(Batch, told, items=items), raw=told)


@_strictly
def link(told: Json) -> Link:
    return Link(**known(Link, told))


@_strictly
def webhook(told: Json) -> Webhook:
    return Webhook(**known(Webhook, told, events=tuple(told["events"])))
