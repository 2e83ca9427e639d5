"""Putting the document together."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from service.openapi.calls import paths
from service.openapi.calls.webhooks import events
from service.openapi.responses import responses
from service.openapi.schemas import schemas
from service.openapi.security import guarded, security_schemes
from worker.open_form.examples import EXAMPLES

VERSION = "1"

DESCRIPTION = """\
Pourwright works out a soft-plastic bait before anyone pours it. Send a request: a style with its \
parameters, a plastic, a finish. An estimate answers at once with every figure that needs no solid; a bait \
is built by a worker and answers with the checked solid, its figures and its files. A fit searches for the parameters \
that meet what you require and make the most of a goal.

A service that has keys takes them as `Authorization: Bearer` (RFC 6750); each opens the calls of its scopes: \
`read`, `build`, `admin`. What is kept belongs to the caller whose key it was, and is not there for others.

Lengths are numbers in millimetres or text (`"4-1/2 in"`, `"127 mm"`). Equal requests are one bait: its `id` \
is the digest of the request in normal form, so asking twice builds once. Every answer that is neither 2xx \
nor 3xx is a problem document (RFC 9457) that names each fault by its JSON pointer."""


def document() -> dict[str, Any]:
    """The OpenAPI 3.1 document."""
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Pourwright",
            "version": VERSION,
            "summary": "Soft-plastic baits, worked out before anyone pours them",
            "description": DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/", "description": "This host"}],
        "tags": [
            {"name": "Baits", "description": "Built by a worker, kept with their files."},
            {"name": "Batches", "description": "Many baits in one call."},
            {"name": "Fits", "description": "The bait that meets stated goals, searched for; kept with its files."},
            {"name": "Estimates", "description": "Figures at once; nothing is kept."},
            {"name": "Styles and plastics", "description": "What can be asked for."},
            {"name": "Webhooks", "description": "Being told how baits and fits ended."},
            {"name": "Service", "description": "The service itself."},
        ],
        "paths": guarded(paths()),
        "webhooks": events(),
        "components": {
            "securitySchemes": security_schemes(),
            "schemas": schemas(),
            "responses": responses(),
            "examples": examples(),
        },
    }


def examples() -> dict[str, Any]:
    """`components.examples`: the worked ones of the open form."""
    return {
        f"open_form_{each.name}": {"summary": each.title, "description": each.shows, "value": dict(each.body)}
        for each in EXAMPLES
    }


@cache
def document_text() -> str:
    """The document as committed: indented JSON with a newline at its end."""
    return json.dumps(document(), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
