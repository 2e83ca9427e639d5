"""Small pieces that schemas are put together from."""

from __future__ import annotations

from typing import Any

Schema = dict[str, Any]


def object_of(properties: dict[str, Schema], optional: tuple[str, ...] = (), description: str = "") -> Schema:
    """An object whose members are all required but the `optional` ones."""
    required = [name for name in properties if name not in optional]
    head: Schema = {"type": "object", "description": description} if description else {"type": "object"}
    return {**head, "required": required, "properties": properties}


def text(description: str, **members: Any) -> Schema:
    """A text; `members` are further keywords."""
    return {"type": "string", "description": description, **members}


def number(description: str, *also: str) -> Schema:
    """A number, or one of the types in `also`."""
    return {"type": ["number", *also] if also else "number", "description": description}


def whole(description: str) -> Schema:
    """A whole number."""
    return {"type": "integer", "description": description}


def ref(name: str) -> Schema:
    """A reference to a component."""
    return {"$ref": f"#/components/schemas/{name}"}


def list_of(name: str, description: str) -> Schema:
    """A list of a component."""
    return {"type": "array", "items": ref(name), "description": description}


def only_list(member: str, name: str) -> Schema:
    """An object with one member, a list of a component."""
    return object_of({member: {"type": "array", "items": ref(name)}})
