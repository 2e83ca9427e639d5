"""Styles: what can be asked for by name, and with which parameters."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from flask import Blueprint, Response, url_for

from service.answers import encode, lasting_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.changing_definitions import answer_kept, styles_shelf
from service.own_styles import described, own_styles, read_style, require_own_style_name
from service.packing import PackedText, pack, packed_answer
from worker.drawing import drawing_names
from worker.errors import UnknownResource
from worker.styles import STYLES, Style

blueprint = Blueprint("styles", __name__)


@lru_cache(maxsize=16)
def _packed(content: bytes) -> PackedText:
    """By what it holds: a list with styles of a caller's own is packed anew when one of them has changed."""
    return pack(content, "application/json")


@cache
def _built_in() -> list[dict[str, object]]:
    return [style.describe() for style in STYLES.values()]


@cache
def _listed() -> PackedText:
    return pack(encode({"styles": _built_in()}), "application/json")


@cache
def _described(name: str) -> PackedText:
    return pack(encode(STYLES[name].describe()), "application/json")


@blueprint.get("/v1/styles")
def index() -> Response:
    """Every style with its parameters as JSON Schema, an example, and the strands it becomes; then the caller's own."""
    own = [described(name, kept) for name, kept in own_styles().items()]
    return packed_answer(_packed(encode({"styles": [*_built_in(), *own]})) if own else _listed())


@blueprint.get("/v1/styles/<style>")
def show(style: str) -> Response:
    """One style."""
    if style in STYLES:
        return packed_answer(_described(style))
    kept = backing().styles.get(current_caller().name, style)
    if kept is None:
        raise _unknown(own_styles())
    # Not packed: its tag is what `If-Match` of a change names, and must be one whoever asks.
    return lasting_answer(encode(described(style, kept)), styles_shelf().tag(style, kept), "application/json")


@blueprint.put("/v1/styles/<style>")
def put(style: str) -> Response:
    """Keep a house style, or replace it. Baits that were asked for in the old one stay as they are."""
    require_own_style_name(style)
    definition = read_style(style, read_json())
    address = url_for("styles.show", style=style)
    return answer_kept(styles_shelf(), style, definition, described(style, definition), address)


@blueprint.delete("/v1/styles/<style>")
def remove(style: str) -> Response:
    """Forget a house style. Baits that were asked for in it stay as they are."""
    require_own_style_name(style)
    styles_shelf().forget(style, lambda: _unknown(own_styles()))
    return Response(status=204)


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
        raise _unknown()
    return STYLES[name]


def _unknown(own: Iterable[str] = ()) -> UnknownResource:
    return UnknownResource(f"There is no style of this name; there are {', '.join([*STYLES, *own])}.")
