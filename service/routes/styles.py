"""Styles: what can be asked for by name, and with which parameters."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response

from service.answers import encode, etag_of, lasting_answer
from service.backing import backing
from worker.drawing import drawing_names
from worker.errors import UnknownResource
from worker.styles import STYLES, Style

blueprint = Blueprint("styles", __name__)


@cache
def _listed() -> tuple[bytes, str]:
    content = encode({"styles": [style.describe() for style in STYLES.values()]})
    return content, etag_of(content)


@cache
def _described(name: str) -> tuple[bytes, str]:
    content = encode(STYLES[name].describe())
    return content, etag_of(content)


@blueprint.get("/v1/styles")
def index() -> Response:
    """Every style with its parameters as JSON Schema, an example, and the strands it becomes."""
    return lasting_answer(*_listed(), "application/json")


@blueprint.get("/v1/styles/<style>")
def show(style: str) -> Response:
    """One style."""
    return lasting_answer(*_described(_known(style).name), "application/json")


@blueprint.get("/v1/styles/<style>/drawings/<parameter>.svg")
def draw(style: str, parameter: str) -> Response:
    """The drawing that explains one parameter of a style, made when it is first asked for."""
    known = _known(style)
    if parameter not in _drawn(known.name):
        raise UnknownResource(f"There is no parameter of this name; there are {', '.join(_drawn(known.name))}.")
    return lasting_answer(*backing().drawings(known, parameter), "image/svg+xml")


@cache
def _drawn(name: str) -> tuple[str, ...]:
    return tuple(drawing_names(STYLES[name]))


def _known(name: str) -> Style:
    if name not in STYLES:
        raise UnknownResource(f"There is no style of this name; there are {', '.join(STYLES)}.")
    return STYLES[name]
