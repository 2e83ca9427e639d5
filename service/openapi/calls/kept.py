"""The calls by which a caller keeps something under a name, and forgets it: the same of whatever it is."""

from __future__ import annotations

from service.openapi.calls.call import Item, call, json_answer
from service.openapi.headers import CHANGE_CONDITIONS, VERSIONED
from service.openapi.responses import problem_answers


def definition(schema: str, example: object) -> Item:
    """What is sent to be kept."""
    content = {"schema": {"$ref": f"#/components/schemas/{schema}"}, "example": example}
    return {"required": True, "content": {"application/json": content}}


def keep(operation: str, tag: str, summary: str, text: str, sent: Item, answers: tuple[Item, Item]) -> Item:
    """PUT of a definition. `answers`: where it replaces one, and where there was none."""
    replaced, kept = answers
    return call(
        operation,
        tag,
        summary,
        text,
        {"200": replaced, "201": kept, **problem_answers(400, 405, 408, 409, 412, 413, 415, 422, 500, 503)},
        parameters=CHANGE_CONDITIONS,
        requestBody=sent,
    )


def kept_as(schema: str, links: Item, kept: str = "Kept.") -> tuple[Item, Item]:
    """What PUT answers: the named component, in place of one and anew."""
    return json_answer(schema, "Replaced.", VERSIONED, links), json_answer(schema, kept, VERSIONED, links)


def forget(operation: str, tag: str, summary: str, text: str, *refusals: int) -> Item:
    """DELETE of what is kept; `refusals` are statuses besides those that any of them may answer."""
    problems = problem_answers(*sorted({404, 405, 412, 500, 503, *refusals}))
    return call(
        operation,
        tag,
        summary,
        text,
        {"204": {"description": "Forgotten."}, **problems},
        parameters=CHANGE_CONDITIONS,
    )
