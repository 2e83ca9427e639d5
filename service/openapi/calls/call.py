"""Small pieces that the calls of every resource are put together from."""

from __future__ import annotations

from typing import Any

from worker.styles import STYLES

Item = dict[str, Any]

UNCHANGED: Item = {"304": {"description": "The client has this version already."}}


def call(operation_id: str, tag: str, summary: str, description: str, answers: Item, **members: Any) -> Item:
    """One operation; `members` are further ones of the OpenAPI object."""
    return {
        "operationId": operation_id,
        "tags": [tag],
        "summary": summary,
        "description": description,
        **members,
        "responses": answers,
    }


def json_answer(schema: str, description: str, headers: Item | None = None, links: Item | None = None) -> Item:
    """An answer whose body is the named component, and where it leads."""
    content = {"application/json": {"schema": {"$ref": f"#/components/schemas/{schema}"}}}
    members: Item = {"headers": headers, "content": content, "links": links}
    return {"description": description, **{name: told for name, told in members.items() if told}}


def request_body() -> Item:
    """The body of a call that takes a request, with an example of each style and two of the open form."""
    examples = {style.name: {"summary": style.title, "value": dict(style.example)} for style in STYLES.values()}
    examples |= {name: {"$ref": f"#/components/examples/{name}"} for name in ("open_form_parent", "open_form_slot")}
    schema = {"$ref": "#/components/schemas/Request"}
    return {"required": True, "content": {"application/json": {"schema": schema, "examples": examples}}}
