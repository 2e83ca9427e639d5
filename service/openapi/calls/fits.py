"""Fits: searched at once or by a worker, kept with their files."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.headers import (
    BAIT_HEADERS,
    CONDITIONS,
    FILE_HEADERS,
    IDEMPOTENCY_KEY,
    PREFER,
    RANGE,
    WAIT,
    fit_file_name,
    fit_id,
)
from service.openapi.onward import FIT_LINKS
from service.openapi.responses import problem_answers
from worker.files.table import FIT_FILES

TAG = "Fits"
_EXAMPLES = {
    "most_flexible": {
        "summary": "The most flexible worm that holds 15 N and weighs 6 g at the most, and the front",
        "value": {
            "style": "jointed_worm",
            "params": {"length": "5 in"},
            "free": {
                "bead_count": {"minimum": 8, "maximum": 14},
                "core_diameter": {"minimum": "3 mm", "maximum": "8 mm"},
            },
            "require": {"joint_pull_n": 15, "mass_g": {"at_most": 6}},
            "goal": "greatest_flexibility",
            "front": {},
        },
    },
    "least_mass": {
        "summary": "The lightest beaded worm that holds half as much again as is asked",
        "value": {
            "style": "beaded_worm",
            "free": {"bead_count": {}, "bead_diameter": {"minimum": "6 mm", "maximum": "11 mm", "step": "0.1 mm"}},
            "require": {"pull_over_limit": {"at_least": 1.5}},
            "goal": "least_mass",
        },
    },
    "makers_terms": {
        "summary": "What is fished for, how and where; rules do the rest",
        "value": {"maker": {"fish": "bass", "rig": "texas", "depth": "3 m", "water": "fresh", "cover": "weed"}},
    },
}


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/fits": {"post": _create()},
        "/v1/fits/{fit_id}": {"parameters": [fit_id()], "get": _show(), "delete": _remove()},
        "/v1/fits/{fit_id}/files/{name}": {"parameters": [fit_id(), fit_file_name()], "get": _file(), "head": _head()},
    }


def _create() -> Item:
    content = {"application/json": {"schema": {"$ref": "#/components/schemas/FitRequest"}, "examples": _EXAMPLES}}
    return call(
        "createFit",
        TAG,
        "Search for a bait",
        "What is fixed, what may change and within what, what is required and what is to be made the most of. A small "
        "fit is searched before the answer, in turn with the estimates; a larger one by a worker, behind baits and "
        "batches, and is waited for as a bait is. Equal requests are one fit. The best bait and every point of the "
        "front have a request that can be sent to `/v1/baits` as it stands. A search that fails is a fit "
        "whose `status` is `failed`, with a `problem` inside; goals that nothing meets are no failure: the answer has "
        "the nearest bait and what would have to give. With an `Idempotency-Key` the first answer is repeated for a "
        "day.",
        {
            "200": json_answer("Fit", "Known, and ended.", BAIT_HEADERS, FIT_LINKS),
            "201": json_answer("Fit", "New, and ended before the answer or within the wait.", BAIT_HEADERS, FIT_LINKS),
            "202": json_answer("Fit", "Under way; ask again at `Location`.", BAIT_HEADERS, FIT_LINKS),
            **problem_answers(400, 405, 408, 409, 413, 415, 422, 429, 500, 503),
        },
        parameters=[PREFER, IDEMPOTENCY_KEY],
        requestBody={"required": True, "content": content},
    )


def _show() -> Item:
    return call(
        "getFit",
        TAG,
        "A fit",
        "As it is now; with a wait, as it is when it has ended or the time is up.",
        {
            "200": json_answer("Fit", "The fit.", BAIT_HEADERS, FIT_LINKS),
            **UNCHANGED,
            **problem_answers(404, 405, 412, 422, 500, 503),
        },
        parameters=[WAIT, PREFER, *CONDITIONS],
    )


def _remove() -> Item:
    return call(
        "removeFit",
        TAG,
        "Dismiss or remove a fit",
        "Under way: its `status` becomes `dismissed`. Ended: it is removed with its files; baits that were ordered of "
        "it stay.",
        {
            "200": json_answer("Fit", "Dismissed."),
            "204": {"description": "Removed."},
            **problem_answers(404, 405, 500, 503),
        },
    )


def _file() -> Item:
    content: Item = {kind.media_type: {} for kind in FIT_FILES.values()}
    return call(
        "getFitFile",
        TAG,
        "A file of a fit",
        "Its bytes never change: keep it. `ETag` is its SHA-256, and so is `Repr-Digest` (RFC 9530).",
        {
            "200": {"description": "The file.", "headers": FILE_HEADERS, "content": content},
            "206": {"description": "The range that was asked for.", "headers": FILE_HEADERS, "content": content},
            **UNCHANGED,
            **problem_answers(404, 405, 410, 412, 416, 500, 503),
        },
        parameters=[*CONDITIONS, *RANGE],
    )


def _head() -> Item:
    return call(
        "headFitFile",
        TAG,
        "What a file of a fit is",
        "The headers of the file without its bytes.",
        {
            "200": {"description": "The headers.", "headers": FILE_HEADERS},
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )
