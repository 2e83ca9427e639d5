"""Styles: what can be asked for by name, and with which parameters."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response

from service.answers import encode, etag_of, lasting_answer
from worker.errors import UnknownResource
from worker.styles import STYLES

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
    if style not in STYLES:
        raise UnknownResource(f"There is no style of this name; there are {', '.join(STYLES)}.")
    return lasting_answer(*_described(style), "application/json")
