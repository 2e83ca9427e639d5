"""Where an answer leads: OpenAPI's links, from what was made to the calls that look at it, fetch it and remove it."""

from __future__ import annotations

from typing import Any

ID = "$response.body#/id"
_FILE = {"bait_id": ID, "name": "$response.body#/files/0/name"}


def _to(operation: str, description: str, **parameters: str) -> dict[str, Any]:
    return {"operationId": operation, "parameters": parameters, "description": description}


BAIT_LINKS = {
    "bait": _to("getBait", "The bait.", bait_id=ID),
    "removal": _to("removeBait", "Its dismissal or removal.", bait_id=ID),
    "file": _to("getFile", "Its first file, once it is successful.", **_FILE),
    "file_headers": _to("headFile", "The headers of that.", **_FILE),
}
_FIT_FILE = {"fit_id": ID, "name": "$response.body#/files/0/name"}
FIT_LINKS = {
    "fit": _to("getFit", "The fit.", fit_id=ID),
    "removal": _to("removeFit", "Its dismissal or removal.", fit_id=ID),
    "file": _to("getFitFile", "Its first file, once it is successful.", **_FIT_FILE),
    "file_headers": _to("headFitFile", "The headers of that.", **_FIT_FILE),
}
BATCH_LINKS = {
    "batch": _to("getBatch", "The batch.", batch_id=ID),
    "removal": _to("removeBatch", "Its dismissal or removal.", batch_id=ID),
    "archive": _to("getArchive", "All its files, once it has ended.", batch_id=ID),
    "archive_headers": _to("headArchive", "The headers of that.", batch_id=ID),
}


def _kept(of: str, parameter: str = "name") -> dict[str, Any]:
    """From something that was put to the calls that look at it, replace it and forget it."""
    named = {parameter: "$response.body#/name"}
    return {
        "shown": _to(f"get{of}", "As it is kept.", **named),
        "replacement": _to(f"keep{of}", "Another in its place.", **named),
        "removal": _to(f"forget{of}", "Its removal.", **named),
    }


PLASTIC_LINKS = {**_kept("Plastic"), "measured": _to("measurePlastic", "Its test pieces.", name="$response.body#/name")}
STYLE_LINKS = _kept("Style", "style")
WEBHOOK_LINKS = _kept("Webhook")
