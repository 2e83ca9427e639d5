"""Fits: a search for the bait that meets stated goals; asked for, waited for, looked at, removed, its files fetched."""

from __future__ import annotations

from contextlib import suppress

from flask import Blueprint, Response, request

from service.answers import encode
from service.backing import backing
from service.body import read_bytes
from service.caller import current_caller
from service.file_answer import FOR_EVER, FOR_EVER_FOR_ONE, answer_file, known_file
from service.first_answers import first_answer
from service.fit_body import fit_body, fit_path
from service.idempotency import read_key
from service.own import read_own
from service.record_answers import Resource, answer_removed, answer_shown, answer_submitted
from service.seen import current_trace
from worker.errors import Busy
from worker.fit import FitRequest, fit_request, is_small
from worker.fitting import found
from worker.records.logs import tell_besides
from worker.records.names import ENDED
from worker.records.view import Submission
from worker.request.json_text import parse_json

blueprint = Blueprint("fits", __name__)

ROUTE = "fits"


def _fits() -> Resource:
    return Resource("fit", backing().fits, fit_body, fit_path)


@blueprint.post("/v1/fits")
def create() -> Response:
    """Ask for a fit: a small one is answered at once, a larger one is searched by a worker, as a bait is built."""
    caller = current_caller().name
    key = read_key(request.headers.get("Idempotency-Key"))
    raw = read_bytes()
    return first_answer(caller, ROUTE, key, raw, lambda: _create(caller, raw), lambda *told: _body_at(caller, *told))


def _create(caller: str, raw: bytes) -> Response:
    asked = read_own(parse_json(raw), fit_request)
    tell_besides(fit=asked.id)
    return answer_submitted(_fits(), caller, _submit(caller, asked), asked.label)


def _submit(caller: str, asked: FitRequest) -> Submission:
    """A small fit in its turn among the estimates, where there is room in their line; any other by a worker."""
    fits, estimator, trace = backing().fits, backing().estimator, current_trace()
    if is_small(asked):
        with suppress(Busy):  # no room in the line; a fit that is done here is never refused for those that wait
            return estimator.in_turn(lambda: fits.do(caller, asked, found, trace=trace))
    return fits.submit(caller, asked, trace=trace)


def _body_at(caller: str, address: str, label: str | None) -> bytes | None:
    """The body of a fit that has ended, as its POST was answered; None where it is no longer there."""
    fit = backing().fits.view(caller, address.rpartition("/")[2])
    if fit is None or fit.status not in ENDED:
        return None
    return encode(fit_body(fit, label))


@blueprint.get("/v1/fits/<fit_id>")
def show(fit_id: str) -> Response:
    """A fit as it is, or, with a wait, as it is when it has ended or the time is up."""
    return answer_shown(_fits(), current_caller().name, fit_id)


@blueprint.delete("/v1/fits/<fit_id>")
def remove(fit_id: str) -> Response:
    """Dismiss a fit that is under way (200), or remove one that has ended (204)."""
    return answer_removed(_fits(), current_caller().name, fit_id)


@blueprint.get("/v1/fits/<fit_id>/files/<name>")
def send(fit_id: str, name: str) -> Response:
    """One file by its name in the fit's `files`; HEAD, conditions and ranges as RFC 9110 has them."""
    asking, fits = current_caller(), backing().fits
    _, file = known_file(asking.name, fit_id, name, "fit")
    kept = FOR_EVER if asking.key is None else FOR_EVER_FOR_ONE
    return answer_file(f"fit-{fit_id[:8]}", file, lambda: fits.file(asking.name, fit_id, name), kept)
