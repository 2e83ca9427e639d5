"""Small pieces that schemas are put together from."""

from __future__ import annotations

from typing import Any

Schema = dict[str, Any]


def object_of(properties: dict[str, Schema], optional: tuple[str, ...] = (), description: str = "") -> Schema:
    required = [name for name in properties if name not in optional]
    head: Schema = {"type": "object", "description": description} if description else {"type": "object"}
    return {**head, "required": required, "properties": properties}


def text(description: str, **members: Any) -> Schema:
    return {"type": "string", "description": description, **members}


def number(description: str, *also: str) -> Schema:
    return {"type": ["number", *also] if also else "number", "description": description}


def whole(description: str) -> Schema:
    return {"type": "integer", "description": description}


def ref(name: str) -> Schema:
    return {"$ref": f"#/components/schemas/{name}"}


def list_of(name: str, description: str) -> Schema:
    return {"type": "array", "items": ref(name), "description": description}


def only_list(member: str, name: str) -> Schema:
    return object_of({member: {"type": "array", "items": ref(name)}})
