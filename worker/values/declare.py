"""Declarations of parameters by their kind, where a style has many: one line a parameter, its figure named after it."""

from __future__ import annotations

from worker.values.parameter import Parameter


def millimetres(
    name: str, title: str, text: str, default: float, minimum: float, maximum: float, step: float = 0.1
) -> Parameter:
    """A length."""
    return Parameter(
        name,
        "length",
        title,
        text,
        default=default,
        minimum=minimum,
        maximum=maximum,
        step=step,
        unit="mm",
        figure=name,
    )


def share(
    name: str, title: str, text: str, default: float, minimum: float, maximum: float, step: float, unit: str = ""
) -> Parameter:
    """A number without a length: a ratio, a percentage, an angle."""
    return Parameter(
        name,
        "number",
        title,
        text,
        default=default,
        minimum=minimum,
        maximum=maximum,
        step=step,
        unit=unit,
        figure=name,
    )


def whole(name: str, title: str, text: str, default: int, maximum: int, minimum: int = 0) -> Parameter:
    """A number of things."""
    return Parameter(name, "whole", title, text, default=default, minimum=minimum, maximum=maximum, step=1, figure=name)


def choice(name: str, title: str, text: str, default: str, choices: tuple[str, ...]) -> Parameter:
    """One of a few words."""
    return Parameter(name, "choice", title, text, default=default, choices=choices, figure=name)
