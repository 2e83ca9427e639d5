"""The OpenAPI document, and the reference page that is made from it."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response

from service.answers import lasting_answer
from service.backing import backing
from service.openapi import document, document_text
from service.packing import PackedText, pack, packed_answer
from service.reference_page import content_security_policy, render
from worker.plots.bargain import bargain_svg

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


@blueprint.get("/docs")
def reference() -> Response:
    """The reference page: one file, no script, nothing from another host."""
    headers = {"Content-Security-Policy": content_security_policy()}
    return packed_answer(_page(), headers)
