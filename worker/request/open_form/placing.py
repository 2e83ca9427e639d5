"""The members that say where a strand or a hollow lies."""

from __future__ import annotations

from typing import Any

from worker.open_form import declared as d
from worker.request.fields import FlagField, ParameterField, StrictField, TextField
from worker.request.open_form.shape import point


def named(title: str, text: str) -> TextField:
    """A name that has to be there."""
    return TextField(d.LONGEST_NAME, title, text, required=True)


def both_sides() -> FlagField:
    """Whether it is there twice."""
    return FlagField("Both sides", "As said on the left, and handed on the right.", load_default=False)


def pointing(where: str) -> dict[str, StrictField]:
    """Where it begins and which way it goes."""
    return {
        "start": point("Start", where, default=[0.0, 0.0, 0.0]),
        "yaw": ParameterField(d.YAW),
        "rise": ParameterField(d.RISE),
    }


def placed(where: str) -> dict[str, Any]:
    """The same with the turn of its section and its other side."""
    return {**pointing(where), "roll": ParameterField(d.ROLL), "both_sides": both_sides()}
