"""The page at `/try`, and the files that it is made of."""

from __future__ import annotations

from functools import cache

from flask import Blueprint, Response, current_app

from service.answers import encode
from service.backing import backing
from service.packing import PackedText, pack, packed_answer
from service.page.files import POLICY, START, named_by_content, page_files
from service.page.session import begin, page_key
from worker.errors import UnknownResource
from worker.request.schema import request_schema
from worker.styles import STYLES
from worker.values.questions import CHECKS

blueprint = Blueprint("page", __name__)

FOR_EVER = "public, max-age=31536000, immutable"
"""A name has the digest of what is in it, so that what it holds never changes."""
CLOSED = (
    "This service asks for keys, and its page has none to call through. Name one that reads and builds, by its id, "
    "with POURWRIGHT_TRY_KEY."
)


@blueprint.get("/try")
def start() -> Response:
    """The page. Where the service has keys, it comes with a session, or not at all."""
    key = None
    if backing().keys.used() and (key := page_key(current_app.config["POURWRIGHT_TRY_KEY"])) is None:
        raise UnknownResource(CLOSED)
    response = packed_answer(page_files()[START], {"Content-Security-Policy": POLICY})
    if key is not None:
        begin(response, key)
    return response


@blueprint.get("/try/words.json")
def words() -> Response:
    """What the page says that no call answers: the questions of the checks, and the members that all styles share."""
    return packed_answer(_words())


@cache
def _words() -> PackedText:
    shared = request_schema()["oneOf"][0]["properties"]
    questions = {name: check.question for name, check in CHECKS.items()}
    told = {"questions": questions, "plastic": shared["plastic"], "require": shared["require"], "firmer": _firmer()}
    return pack(encode(told), "application/json")


def _firmer() -> dict[str, list[str]]:
    """By style, the parameters that its declaration moves to have a joint hold more: what its bargain is about."""
    return {
        name: list(dict.fromkeys(one.parameter for one in style.remedies.get("joint_pull", ()) if not one.member))
        for name, style in STYLES.items()
    }


@blueprint.get("/try/<name>")
def send(name: str) -> Response:
    """One of its files."""
    if name == START or (file := page_files().get(name)) is None:
        raise UnknownResource("The page has no file of this name; fetch the page again.")
    return packed_answer(file, {"Cache-Control": FOR_EVER} if named_by_content(name) else {})
