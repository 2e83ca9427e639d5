"""From the OpenAPI document to the rows of the page's tables."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from worker.styles.dress_parameters import PIECES

Schema = dict[str, Any]

METHODS = ("get", "head", "post", "put", "delete")


@dataclass(frozen=True, slots=True)
class Member:
    """One member of an object, one parameter of a style, or one of a call."""

    name: str
    required: bool
    kind: str
    default: str
    text: str
    drawing: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """One status of a call."""

    status: str
    phrase: str
    text: str
    component: str


@dataclass(frozen=True, slots=True)
class Call:
    """One method of one address."""

    anchor: str
    method: str
    path: str
    summary: str
    text: str
    inputs: list[Member]
    body: str  # the component that it takes, where it takes one
    examples: list[tuple[str, str]]
    answers: list[Answer]
    scope: str  # what a key must open, where the service has keys; empty: nothing


@dataclass(frozen=True, slots=True)
class Table:
    """A named object with its members."""

    name: str
    title: str
    text: str
    members: list[Member]


def calls_by_tag(document: Schema) -> list[tuple[Schema, list[Call]]]:
    """The calls under each of the document's tags."""
    found: dict[str, list[Call]] = {tag["name"]: [] for tag in document["tags"]}
    for path, item in document["paths"].items():
        for method in METHODS:
            if method in item:
                found[item[method]["tags"][0]].append(_call(document, path, method, item))
    return [(tag, found[tag["name"]]) for tag in document["tags"]]


def alternatives(request: Schema) -> list[Table]:
    """The styles of a request, with their parameters."""
    return [
        Table(
            one["properties"]["style"]["const"],
            one["title"],
            f"{one['properties']['style']['description']} {worn(one['properties']['params']['properties'])}".rstrip(),
            members(one["properties"]["params"]),
        )
        for one in request["oneOf"]
        if "const" in one["properties"].get("style", {})
    ]


def worn(params: Schema) -> str:
    """In a sentence, what of the dress a style takes and what it does not; empty where it takes all or none of it."""
    taken, left = ([each.title.lower() for each in PIECES if (each.name in params) is there] for there in (True, False))
    if not taken or not left:
        return ""
    return (
        f"Of what a bait may wear it takes {', '.join(taken)}; its shape leaves no place for {', '.join(left)}, "
        "which the open form puts wherever you say."
    )


def shared_members(request: Schema) -> list[Member]:
    """The members of a request that do not depend on its style."""
    properties = dict(request["oneOf"][0]["properties"])
    del properties["style"], properties["params"]
    return members({"properties": properties})


def components(document: Schema) -> list[Table]:
    """The objects that answers are made of."""
    return [
        Table(name, name, schema.get("description", ""), members(schema))
        for name, schema in document["components"]["schemas"].items()
        if name != "Request"
    ]


def members(schema: Schema, before: str = "") -> list[Member]:
    """The members of an object, those of nested objects under a dotted name."""
    return list(_members(schema, before))


def _members(schema: Schema, before: str) -> Iterator[Member]:
    required = schema.get("required", [])
    for name, below in schema.get("properties", {}).items():
        default = json.dumps(below["default"]) if "default" in below else ""
        if _text(below) or "properties" not in below:  # else its members, which follow, say it all
            yield Member(
                before + name, name in required, kind(below), default, _text(below), below.get("x-drawing", "")
            )
        inside = below.get("items", below)  # of a list of objects, what each of them has
        yield from _members(inside, f"{before}{name}{'[].' if inside is not below else '.'}")


def _text(schema: Schema) -> str:
    title, description = schema.get("title", ""), schema.get("description", "")
    sentences = [f"{title}."] if title else []
    if description not in sentences:
        sentences.append(description)
    return " ".join(sentences).strip()


def kind(schema: Schema) -> str:
    """A schema in a few words: "number from 4 to 20 mm, or text"."""
    if "$ref" in schema:
        return str(schema["$ref"]).rsplit("/", 1)[1]
    if "oneOf" in schema:
        return "one of the objects below"
    if "anyOf" in schema:
        return " or ".join(kind({**one, "x-unit": schema.get("x-unit", "")}) for one in schema["anyOf"])
    if schema.get("type") == "object" and "properties" in schema:
        return "object"
    if "enum" in schema and len(schema["enum"]) == 1:
        return json.dumps(schema["enum"][0])
    if "enum" in schema:
        return "one of " + ", ".join(json.dumps(choice) for choice in schema["enum"])
    if schema.get("type") == "array":
        return _counted(schema) + kind(schema["items"])
    types = schema.get("type", "any")
    words = " or ".join(_WORDS.get(one, one) for one in ([types] if isinstance(types, str) else types))
    if "minimum" in schema and "maximum" in schema:
        words += f" from {schema['minimum']:g} to {schema['maximum']:g}"
    elif "minimum" in schema:
        words += f" from {schema['minimum']:g} up"
    return f"{words} {schema['x-unit']}" if schema.get("x-unit") and types != "string" else words


def _counted(schema: Schema) -> str:
    if schema["items"].get("type", "object") != "object" or "maxItems" not in schema:
        return "list of "
    return f"list of {schema.get('minItems', 0)} to {schema['maxItems']}: each "


_WORDS = {"integer": "whole number", "string": "text", "boolean": "true or false", "null": "null"}


def _call(document: Schema, path: str, method: str, item: Schema) -> Call:
    operation = item[method]
    body = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    examples = [
        (example["summary"], json.dumps(example["value"], indent=2, ensure_ascii=False))
        for example in (_resolved(document, each) for each in body.get("examples", {}).values())
    ]
    inputs = [
        Member(one["name"], one["required"], f"{one['in']}, {kind(one['schema'])}", "", one["description"])
        for one in [*item.get("parameters", []), *operation.get("parameters", [])]
    ]
    return Call(
        operation["operationId"],
        method.upper(),
        path,
        operation["summary"],
        operation["description"],
        inputs,
        str(body.get("schema", {}).get("$ref", "")).rsplit("/", 1)[-1],
        examples,
        [_answer(document, status, answer) for status, answer in operation["responses"].items()],
        " ".join(scope for one in operation["security"] for scopes in one.values() for scope in scopes),
    )


def _resolved(document: Schema, example: Schema) -> Schema:
    if "$ref" not in example:
        return example
    return dict(document["components"]["examples"][example["$ref"].rsplit("/", 1)[1]])


def _answer(document: Schema, status: str, answer: Schema) -> Answer:
    if "$ref" in answer:
        answer = document["components"]["responses"][answer["$ref"].rsplit("/", 1)[1]]
    contents: list[Schema] = list(answer.get("content", {}).values())
    schema = contents[0].get("schema", {}) if contents else {}
    component = str(schema.get("$ref", "")).rsplit("/", 1)[-1]
    return Answer(status, HTTPStatus(int(status)).phrase, answer["description"], component)
