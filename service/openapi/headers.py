"""Parameters and headers that operations share."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from service.idempotency import KEY_FORM
from service.names import IN_WORDS, PATTERN
from service.prefer import LONGEST_WAIT_S
from worker.files.table import FILES, FIT_FILES
from worker.styles import STYLES


def _header(name: str, description: str, schema: dict[str, Any], example: str | None = None) -> dict[str, Any]:
    parameter = {
        "name": name,
        "in": "header",
        "required": False,
        "description": description,
        "schema": schema,
    }
    return parameter if example is None else {**parameter, "example": example}


def _said(description: str, kind: str = "string") -> dict[str, Any]:
    return {"description": description, "schema": {"type": kind}}


PREFER = _header(
    "Prefer",
    f"RFC 7240. `wait=N` waits up to N seconds, at most {LONGEST_WAIT_S}; what cannot be read is ignored.",
    {"type": "string"},
    "wait=10",
)
IDEMPOTENCY_KEY = _header(
    "Idempotency-Key",
    "A string in double quotes, kept for a day. The same key with another request is refused with 422.",
    {"type": "string", "minLength": 1, "maxLength": 512, "pattern": f"^({KEY_FORM})$"},
    '"order-1207"',
)
WAIT = {
    "name": "wait",
    "in": "query",
    "required": False,
    "description": f"Seconds to wait for the end; more than {LONGEST_WAIT_S} count as that.",
    "schema": {"type": "integer", "minimum": 0},
}
# `If-Match` is followed too, as on every resource with a version, but is of no use to a call that only reads.
CONDITIONS = [
    _header(
        "If-None-Match",
        "RFC 9110: answered with 304 where the version named is the present one.",
        {"type": "string"},
    ),
]
CHANGE_CONDITIONS = [
    _header("If-Match", "RFC 9110: refused with 412 where another version is the present one.", {"type": "string"}),
    _header(
        "If-None-Match",
        "RFC 9110: refused with 412 where one of the versions named is the present one; `*`: where there is any.",
        {"type": "string"},
    ),
]
RANGE = [
    _header(
        "Range",
        "RFC 9110. One range of bytes is answered with 206; several with the whole.",
        {"type": "string"},
        "bytes=0-83",
    ),
    _header("If-Range", "RFC 9110: the range holds for this version alone.", {"type": "string"}),
]

BAIT_HEADERS = {
    "Location": _said("Its address (on POST)."),
    "Retry-After": _said("Seconds after which to ask again, while it is under way.", "integer"),
    "Preference-Applied": _said("The preference that was followed, and its value."),
    "Vary": _said("`Prefer`."),
    "ETag": _said("The version of what has ended (on GET)."),
}
VERSIONED = {"ETag": _said("The version that is kept now.")}
BATCH_HEADERS = {
    "Location": _said("The batch's address (on POST)."),
    "Retry-After": _said("Seconds after which to ask again, while it is under way.", "integer"),
    "ETag": _said("The version of an ended batch (on GET)."),
}
ARCHIVE_HEADERS = {
    "ETag": _said("Another once a bait of the batch has been removed."),
    "Accept-Ranges": _said("`bytes`."),
    "Content-Disposition": _said("RFC 6266: a name to save it under."),
    "Content-Range": _said("Which bytes these are, of how many (with 206)."),
}
FILE_HEADERS = {
    "ETag": _said("The file's SHA-256 in double quotes."),
    "Cache-Control": _said("The file never changes."),
    "Accept-Ranges": _said("`bytes`."),
    "Repr-Digest": _said("RFC 9530: the SHA-256 of the whole file."),
    "Content-Disposition": _said("RFC 6266: a name to save it under."),
    "Content-Range": _said("Which bytes these are, of how many (with 206)."),
}


def style_name(*, built_in: bool = False) -> dict[str, Any]:
    """The path parameter that names a style: any, or one that is built in."""
    schema = {"type": "string", **({"enum": list(STYLES)} if built_in else {"pattern": PATTERN})}
    return {
        "name": "style",
        "in": "path",
        "required": True,
        "description": "The style's name." if built_in else f"The style's name: {IN_WORDS}.",
        "schema": schema,
    }


def parameter_name() -> dict[str, Any]:
    """The path parameter that names a style's parameter."""
    return {
        "name": "parameter",
        "in": "path",
        "required": True,
        "description": "The parameter's name; of a member of a list's objects, the list's name, a dot and its own.",
        "schema": {"type": "string", "pattern": r"^[a-z_]+(\.[a-z_]+)?$"},
    }


def own_name(of: str) -> dict[str, Any]:
    """The path parameter that names something of a caller's, `plastic` say."""
    return {
        "name": "name",
        "in": "path",
        "required": True,
        "description": f"The {of}'s name: {IN_WORDS}.",
        "schema": {"type": "string", "pattern": PATTERN},
    }


def batch_id() -> dict[str, Any]:
    """The path parameter that names a batch."""
    schema = {"type": "string", "pattern": "^[0-9a-f]{32}$"}
    return {"name": "batch_id", "in": "path", "required": True, "description": "The batch's id.", "schema": schema}


def bait_id() -> dict[str, Any]:
    """The path parameter that names a bait."""
    schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
    return {
        "name": "bait_id",
        "in": "path",
        "required": True,
        "description": "The bait's id.",
        "schema": schema,
    }


def fit_id() -> dict[str, Any]:
    """The path parameter that names a fit."""
    schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
    return {"name": "fit_id", "in": "path", "required": True, "description": "The fit's id.", "schema": schema}


def file_name() -> dict[str, Any]:
    """The path parameter that names a bait's file."""
    return _name_out_of("bait", FILES)


def fit_file_name() -> dict[str, Any]:
    """The path parameter that names a fit's file."""
    return _name_out_of("fit", FIT_FILES)


def _name_out_of(kind: str, files: Iterable[str]) -> dict[str, Any]:
    schema = {"type": "string", "examples": list(files)}
    description = f"A name out of the {kind}'s `files`."
    return {"name": "name", "in": "path", "required": True, "description": description, "schema": schema}
