"""`every_call.http`: every call of the document is in it, and sent in its order each is answered as it says."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import Any

from service.openapi.document import document
from tests.http.running import Service
from tests.stack import ROOT, eventually

FILE = ROOT / "openapi" / "examples" / "every_call.http"
METHODS = ("get", "put", "post", "delete", "head")


@dataclass
class Call:
    """One message of the file. `keeps`: the member, or the header, whose value a name stands for from then on."""

    line: int
    method: str
    path: str
    headers: dict[str, str]
    body: str
    answers: int
    keeps: list[tuple[str, str]] = field(default_factory=list)
    until: tuple[str, str] | None = None


def read() -> list[Call]:
    """The file's messages, in order. A line that is none of its grammar fails the test."""
    head, *parts = re.split(r"^###.*\n", FILE.read_text(), flags=re.MULTILINE)
    names = set(re.findall(r"^@(\w+) =", head, re.MULTILINE))
    found, line = [], head.count("\n") + 1
    for part in parts:
        notes, _, message = part.partition(next(one for one in part.splitlines() if not one.startswith("#")))
        first, *rest = part[len(notes) :].split("\n\n", 1)[0].splitlines()
        said = re.match(r"(\w+) \{\{service\}\}(\S+)$", first)
        assert said is not None, f"line {line}: {first}"
        keeps = re.findall(r"^# (\w+) = ([\w-]+)$", notes, re.MULTILINE)
        until = re.search(r"^# again until (\w+) = (\w+)$", notes, re.MULTILINE)
        answers = re.search(r"^# answers (\d{3})$", notes, re.MULTILINE)
        assert answers is not None and {name for name, _ in keeps} <= names, f"line {line}"
        found.append(
            Call(
                line + notes.count("\n") + 1,
                said[1],
                said[2],
                dict(one.split(": ", 1) for one in rest),
                message.partition("\n\n")[2].strip(),
                int(answers[1]),
                keeps,
                (until[1], until[2]) if until else None,
            )
        )
        line += part.count("\n") + 1
    return found


def filled(text: str, values: dict[str, str]) -> str:
    return re.sub(r"\{\{(\w+)\}\}", lambda one: values[one[1]], text)


def send(running: Service, call: Call, values: dict[str, str]) -> Any:
    headers = {name: filled(value, values) for name, value in call.headers.items()}
    content = filled(call.body, values).encode() if call.body else None
    return running.call_with(call.method, filled(call.path, values), content, headers)


def test_every_call_is_answered_as_the_file_says(running: Service) -> None:
    values: dict[str, str] = {}
    for call in read():
        answer = send(running, call, values)
        if call.until is not None:
            member, wanted = call.until

            def ended(call: Call = call, member: str = member, wanted: str = wanted) -> Any:
                told = send(running, call, values)
                return told if told.json[member] == wanted else None

            answer = eventually(ended, 60, 0.2)
        assert answer.status == call.answers, f"every_call.http:{call.line}: {answer.status} {answer.data[:500]!r}"
        for name, member in call.keeps:
            values[name] = answer.headers[member] if member == "ETag" else json.loads(answer.data)[member]
    assert values.keys() == {"bait", "tag", "link", "batch", "fit"}


def test_every_call_of_the_document_is_in_the_file() -> None:
    calls = {
        (method.upper(), path): operation["responses"]
        for path, methods in document()["paths"].items()
        for method, operation in methods.items()
        if method in METHODS
    }
    patterns = {key: re.sub(r"\\{\w+\\}", "[^/]+", re.escape(key[1])) for key in calls}
    seen = set()
    for call in read():
        path = "/v1/links/0.a/local/b/c" if call.path == "{{link}}" else call.path.partition("?")[0]
        # A path that is written out goes before one with a name in braces (OpenAPI 3.1, paths object).
        fitting = [key for key in calls if key[0] == call.method and re.fullmatch(patterns[key], path)]
        key = min(fitting, key=lambda one: one[1].count("{"))
        assert str(call.answers) in calls[key], f"every_call.http:{call.line}: the document knows no {call.answers}"
        seen.add(key)
    assert seen == set(calls), f"not in the file: {sorted(set(calls) - seen)}"
