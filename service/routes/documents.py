"""The OpenAPI document, and the reference page that is made from it."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response

from service.answers import lasting_answer
from service.backing import backing
from service.openapi import document, document_text
from service.packing import PackedText, pack, packed_answer
from service.reference_page import content_security_policy, render
from worker.errors import UnknownResource
from worker.plots.bargain import bargain_svg
from worker.plots.worked import WORKED_NAMES, worked_drawing

blueprint = Blueprint("documents", __name__)


@cache
def _document() -> PackedText:
    return pack(document_text().encode(), "application/json")


@cache
def _page() -> PackedText:
    return pack(render(document()).encode(), "text/html; charset=utf-8")


@blueprint.get("/v1/openapi.json")
def openapi() -> Response:
    """The OpenAPI 3.1 document."""
    return packed_answer(_document())


@blueprint.get("/docs/bargain.svg")
def bargain() -> Response:
    """The picture of the bargain that a fit settles: a thicker neck holds more and bends less."""
    return lasting_answer(*backing().drawings.other(("docs", "bargain"), bargain_svg), "image/svg+xml")


@blueprint.get("/docs/open-form/<example>.svg")
def worked(example: str) -> Response:
    """The picture of a worked example of the open form, made when it is first asked for."""
    if example not in WORKED_NAMES:
        raise UnknownResource(f"There is no example of this name; there are {', '.join(WORKED_NAMES)}.")
    key = ("docs", "open-form", example)
    return lasting_answer(*backing().drawings.other(key, lambda: worked_drawing(example)), "image/svg+xml")


@blueprint.get("/docs")
def reference() -> Response:
    """The reference page: one file, no script, nothing from another host."""
    headers = {"Content-Security-Policy": content_security_policy()}
    return packed_answer(_page(), headers)
