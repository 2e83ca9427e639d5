"""What the bodies look like. The request comes from the declarations that it is read by."""

from __future__ import annotations

from service.links import ASKED
from service.openapi import batches, bench, figures, fits, handling, moulds, plastics, tearing
from service.openapi.calls.webhooks import schemas as webhook_schemas
from service.openapi.record import record
from service.openapi.shapes import Schema, list_of, number, object_of, only_list, ref, text, whole
from worker.request.composed import object_schema
from worker.request.house_shape import KEPT
from worker.request.schema import request_schema

STATUSES = ("accepted", "running", "successful", "failed", "dismissed")


def schemas() -> dict[str, Schema]:
    """`components.schemas`."""
    request = _request()
    return {
        **request,
        **fits.schemas(STATUSES, {name: schema for name, schema in request.items() if name != "Request"}),
        "Bait": _bait(),
        "Metrics": figures.metrics(),
        **handling.schemas(),
        **bench.schemas(),
        **moulds.schemas(),
        "Joint": figures.joint(),
        "TearSection": tearing.tear_section(figures.VERDICT),
        "Check": figures.check(),
        "Remedy": figures.remedy(),
        "LimbPlace": object_of(
            {
                "joint": whole("The joint's number in `metrics.joints`."),
                "along_mm": number("Behind the bait's foremost point, mm: its `station_mm` runs along the limb."),
            }
        ),
        "File": _file(),
        "Batch": batches.batch(),
        "BatchItem": batches.item(),
        "LinkRequest": object_schema(ASKED),
        "Link": _link(),
        "Style": _style(),
        "HouseStyleDefinition": object_schema(KEPT),
        "Styles": only_list("styles", "Style"),
        **plastics.schemas(figures.VERDICT),
        **webhook_schemas(),
        "Problem": _problem(),
        "Fault": _fault(),
        "Health": object_of(
            {"status": text("`alive` or `ready`."), "workers": whole("Workers that are alive (readiness).")},
            optional=("workers",),
        ),
    }


def _request() -> dict[str, Schema]:
    """The request, and what all its forms share as components of their own: written once and not with each style."""
    whole = request_schema()
    first, *others = (form["properties"] for form in whole["oneOf"])
    apart = {
        name: f"Request{name.capitalize()}"
        for name, member in first.items()
        if member.get("type") == "object" and all(other.get(name) == member for other in others)
    }
    forms = [
        {
            **form,
            "properties": {name: ref(apart[name]) if name in apart else member for name, member in members.items()},
        }
        for form in whole["oneOf"]
        for members in [form["properties"]]
    ]
    return {"Request": {**whole, "oneOf": forms}, **{title: first[name] for name, title in apart.items()}}


def _bait() -> Schema:
    made = {
        "metrics": ref("Metrics"),
        "checks": list_of("Check", "One question each, with its verdict and what would mend it."),
        "files": list_of("File", "Empty until `successful`, then complete."),
        "cautions": {
            "type": "array",
            "items": {"type": "string"},
            "description": "Safety texts; never verdicts.",
        },
    }
    bait = record("bait", STATUSES, made, timings=", by step", relations="`self`, `style`")
    bait["properties"]["limb_places"] = list_of(
        "LimbPlace", "Of an estimate alone: where the joints off the trunk lie along the bait, in their order."
    )
    return bait


def _file() -> Schema:
    return object_of(
        {
            "name": text("Its name below the bait's `files`."),
            "output": {
                "type": ["string", "null"],
                "description": "The output that asked for it; null: always there.",
            },
            "media_type": text("The registered media type."),
            "bytes": whole("Its length."),
            "sha256": text("Its SHA-256.", pattern="^[0-9a-f]{64}$"),
            "href": text("Its address.", format="uri-reference"),
        }
    )


def _link() -> Schema:
    return object_of(
        {
            "bait": text("The bait's id."),
            "file": text("The file's name."),
            "expires": text("When it stops being good.", format="date-time"),
            "may_end_sooner": {
                "type": ["string", "null"],
                "description": "What may end it before: the file is kept by age and by bytes as any other is.",
            },
            "href": text("Its address: whoever has it may fetch the file.", format="uri-reference"),
        }
    )


def _style() -> Schema:
    return object_of(
        {
            "name": text("As it is asked for."),
            "title": text("As it is said."),
            "summary": text("What it is."),
            "sentence": text(
                "The bait in words, to be filled in: `{style}` is its title, `{name}` a parameter with its unit; `(s)` "
                "stands where the number before it is not 1. What a house style holds fast is written in."
            ),
            "example": ref("Request"),
            "params_schema": {"type": "object", "description": "JSON Schema 2020-12 of `params`."},
            "strands": {
                "type": "array",
                "items": {"type": "object"},
                "description": "What the example becomes, in the open form's words: they can be sent as `strands`.",
            },
            "hollows": {
                "type": "array",
                "items": {"type": "object"},
                "description": "What is taken out of it, likewise.",
            },
            "untold": {
                "type": "array",
                "items": {"type": "string"},
                "description": "What the open form cannot say of them, a sentence each.",
            },
            "base": text("Of a house style: the built-in style that it narrows."),
            "definition": {**ref("HouseStyleDefinition"), "description": "Of a house style: as it is kept."},
            "digest": text("Of a house style: what a bait's identity has of its definition.", pattern="^[0-9a-f]{64}$"),
        },
        optional=("base", "definition", "digest"),
    )


def _problem() -> Schema:
    return object_of(
        {
            "type": text("`urn:pourwright:problem:` and a kind that programs can tell apart.", format="uri"),
            "title": text("The kind in words."),
            "status": whole("The HTTP status."),
            "detail": text("What happened this time, and how to mend it."),
            "instance": text("A number to quote, where the log has more.", format="uri"),
            "errors": list_of("Fault", "Every fault, each with its place."),
        },
        optional=("instance", "status", "errors"),
        description="RFC 9457.",
    )


def _fault() -> Schema:
    return object_of(
        {
            "pointer": text("RFC 6901: the place in the request; empty for the whole of it."),
            "code": text("The fault, for programs."),
            "detail": text("The fault, for people."),
            "allowed": {"description": "What may stand there; null where that cannot be said."},
        }
    )
