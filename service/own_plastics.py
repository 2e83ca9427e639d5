"""Plastics of callers' own: kept in the store by caller and name, and put into requests that name them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from service.backing import backing
from service.caller import current_caller
from service.errors import NameTaken
from service.names import require_name
from worker.errors import Fault
from worker.request.faults import loaded
from worker.request.plastic import DEFINITION, unknown
from worker.values.own_plastics import FIGURES, plastic_of
from worker.values.plastics import BUILT_IN

MOST = 200
"""Plastics that one caller may keep."""

RECORD = "record"
"""The member of what is kept of a plastic that has its test pieces by figure, as they were measured.

A definition that is put has none: figures that its owner gives anew are not those of the pieces before.
"""

Definition = dict[str, Any]
OwnPlastics = Mapping[str, Definition]


def read_definition(body: object) -> Definition:
    """A definition in normal form. Raises InvalidRequest with every fault at once."""
    return loaded(DEFINITION, body, "The plastic has")


def require_own_name(name: str) -> None:
    """Raise NameTaken for a built-in grade's name, and InvalidRequest for one that cannot be a name."""
    if name in BUILT_IN:
        raise NameTaken(
            f"{name} is a built-in plastic, the same for all; keep one of your own with PUT, by another name."
        )
    require_name(name, "plastic")


def described(name: str, definition: Definition) -> dict[str, object]:
    """As `GET /v1/plastics` tells it: every figure, the grade's where none was measured, and what was sent."""
    told = plastic_of({**definition, "name": name}).describe()
    measured, grade = sorted(definition["properties"]), definition["grade"]
    return {
        **told,
        "summary": definition["summary"],
        "grade": grade,
        "grade_is": "nearest" if definition.get("grade_chosen") else "given",
        "measured": measured,
        "filled": {figure: grade for figure in FIGURES if figure not in measured},
        "pieces": {
            figure: sum(len(call["pieces"]) for call in calls) for figure, calls in definition.get(RECORD, {}).items()
        },
    }


def own_plastics() -> OwnPlastics:
    """All that the present caller keeps, by name."""
    return backing().plastics.all(current_caller().name)


def with_own_plastic(body: object, own: Callable[[], OwnPlastics] | None = None) -> tuple[object, tuple[Fault, ...]]:
    """The request with the figures of the plastic that it names, as the caller keeps it now.

    So a request is whole by itself: what is built later, and what was built, does not hang on what is kept. A name
    with figures beside it is read as it stands. `own` gives all of the caller's, to who reads many requests.
    Of a name that no plastic is kept under, the request without it and the fault.
    """
    asked = body.get("plastic") if isinstance(body, Mapping) else None
    if not isinstance(body, Mapping) or not isinstance(asked, Mapping) or "properties" in asked:
        return body, ()
    name = asked.get("name")
    if not isinstance(name, str):
        return body, ()
    kept = backing().plastics.get(current_caller().name, name) if own is None else own().get(name)
    if kept is None:
        rest = {each: value for each, value in asked.items() if each != "name"}
        return {**body, "plastic": rest}, (unknown_plastic(name, (own or own_plastics)()),)
    return {**body, "plastic": {"grade": kept["grade"], **asked, "properties": kept["properties"]}}, ()


def unknown_plastic(name: str, names: Iterable[str]) -> Fault:
    """What is wrong with a name that none of the caller's plastics is kept under."""
    flaw = unknown(name, names)
    return Fault("/plastic/name", flaw.code, flaw.detail, flaw.allowed)
