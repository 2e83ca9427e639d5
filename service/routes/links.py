"""Signed links to files: made with a key, followed without one."""

from __future__ import annotations

import time

from flask import Blueprint, Response, current_app, url_for

from service.answers import json_answer
from service.backing import backing
from service.body import read_json
from service.caller import current_caller
from service.errors import LinkExpired
from service.file_answer import FOR_EVER_S, answer_file, begins, known_file
from service.links import may_end_sooner, read_asked
from worker.errors import UnknownResource
from worker.records.view import moment_text

blueprint = Blueprint("links", __name__)

CLEARED_AWAY = (
    "The file of this link has been cleared away or removed; whoever gave the link can ask for the same bait again, "
    "and then it opens the file once more."
)


@blueprint.post("/v1/links")
def create() -> Response:
    """A link to a file that is there; it opens that one file, for whoever has it, until it expires."""
    caller = current_caller().name
    asked = read_asked(read_json())
    bait_id, name = asked["bait"], asked["file"]
    known_file(caller, bait_id, name)
    # It counts as asked for from this very moment, not from when this process last noted it.
    if not backing().baits.note_use(caller, [bait_id]):
        raise UnknownResource("There is no bait of this id.")
    expires = int(time.time()) + asked["seconds"]
    signature = backing().links.sign(caller, bait_id, name, expires)
    href = url_for("links.send", expiry=expires, signature=signature, caller=caller, bait_id=bait_id, name=name)
    until = moment_text(expires, "seconds")
    sooner = may_end_sooner(asked["seconds"], *current_app.config["POURWRIGHT_KEPT"])
    told = {"bait": bait_id, "file": name, "expires": until, "may_end_sooner": sooner, "href": href}
    return json_answer(told, 201, {"Location": href})


@blueprint.get("/v1/links/<expiry>.<signature>/<caller>/<bait_id>/<name>")
def send(expiry: str, signature: str, caller: str, bait_id: str, name: str) -> Response:
    """The file, as its owner gets it. A link that we did not sign is as unknown as any address."""
    if not (expiry.isascii() and expiry.isdigit() and len(expiry) <= 12 and expiry[0] != "0"):
        raise _unknown()
    expires = int(expiry)
    if not backing().links.holds(signature, caller, bait_id, name, expires):
        raise _unknown()
    left = expires - int(time.time())
    if left <= 0:
        raise LinkExpired("This link has expired; whoever gave it can make another.")
    try:
        bait, file = known_file(caller, bait_id, name)
    except UnknownResource:  # it was there when the link was signed
        raise UnknownResource(CLEARED_AWAY) from None
    # No cache may hold it for longer than the link lives; within that its bytes do not change.
    kept = f"public, max-age={min(left, FOR_EVER_S)}, immutable"
    answer = answer_file(begins(bait), file, lambda: backing().baits.file(caller, bait_id, name), kept)
    # Such a link is there to stand in a page of somebody else's.
    answer.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    return answer


def _unknown() -> UnknownResource:
    return UnknownResource("There is no such link: it was not made here, or was altered.")
