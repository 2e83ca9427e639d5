"""Plastics: the figures that strength, stiffness and weight are worked out from, and where they come from."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response

from service.answers import encode, etag_of, lasting_answer
from worker.values.plastics import BUILT_IN

blueprint = Blueprint("plastics", __name__)


@cache
def _listed() -> tuple[bytes, str]:
    content = encode({"plastics": [plastic.describe() for plastic in BUILT_IN.values()]})
    return content, etag_of(content)


@blueprint.get("/v1/plastics")
def index() -> Response:
    """Every plastic with low, typical and high figures."""
    return lasting_answer(*_listed(), "application/json")
