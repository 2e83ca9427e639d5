"""The files of a finished bait."""

from __future__ import annotations

from flask import Blueprint, Response

from service.backing import backing
from service.caller import current_caller
from service.file_answer import FOR_EVER, FOR_EVER_FOR_ONE, answer_file, begins, known_file

blueprint = Blueprint("files", __name__)


@blueprint.get("/v1/baits/<bait_id>/files/<name>")
def send(bait_id: str, name: str) -> Response:
    """One file by its name in the bait's `files`; HEAD, conditions and ranges as RFC 9110 has them."""
    asking = current_caller()
    caller = asking.name
    bait, file = known_file(caller, bait_id, name)
    kept = FOR_EVER if asking.key is None else FOR_EVER_FOR_ONE
    return answer_file(begins(bait), file, lambda: backing().baits.file(caller, bait_id, name), kept)
