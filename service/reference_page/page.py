"""Filling the page's template, and the policy that the page is served with."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from service.reference_page.open_form import open_form, worked
from service.reference_page.rows import alternatives, calls_by_tag, components, shared_members
from worker.request.schema import HOUSE, request_schema
from worker.values.cautions import BENCH, PRINTED

HERE = Path(__file__).parent


def render(document: dict[str, Any]) -> str:
    """The page for this OpenAPI document."""
    # As it is read, not as the document shares its members out: the tables show all of them in their places.
    request = request_schema()
    styles = alternatives(request)
    form, tables = open_form(request)
    return (
        _environment()
        .get_template("page.html")
        .render(
            info=document["info"],
            tags=calls_by_tag(document),
            styles=styles,
            house=HOUSE,
            form=form,
            form_tables=tables,
            worked=worked(document),
            shared=shared_members(request),
            cautions=(*BENCH[:-1], *PRINTED, BENCH[-1]),
            components=components(document),
            css=Markup(_css()),
        )
    )


@cache
def content_security_policy() -> str:
    """Allows the page its own styles, known by their digest, pictures of this host, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(_css().encode()).digest()).decode()
    nothing = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    return f"{nothing}; style-src 'sha256-{digest}'; img-src 'self'"


@cache
def _css() -> str:
    return (HERE / "page.css").read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(HERE),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["prose"] = prose
    environment.filters["inline"] = inline
    return environment


def inline(text: str) -> Markup:
    """Text with what stands in backticks as code."""
    return Markup(re.sub(r"`([^`]+)`", r"<code>\1</code>", str(escape(text))))


def prose(text: str) -> Markup:
    """Paragraphs of such text."""
    return Markup("").join(Markup("<p>{}</p>").format(inline(part)) for part in text.split("\n\n"))
