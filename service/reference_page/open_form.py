"""The tables of the open form, and its worked examples, from the OpenAPI document."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from service.reference_page.rows import Member, Schema, Table, members

EXAMPLES = "open_form_"
"""How the names of its examples begin in the document."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One worked example."""

    anchor: str
    title: str
    text: str
    body: str
    drawing: str


def open_form(request: Schema) -> tuple[str, list[Table]]:
    """What it is in a sentence, and a table for each object that it is made of."""
    (form,) = (one for one in request["oneOf"] if "strands" in one["properties"])
    strands, hollows = (form["properties"][name]["items"]["oneOf"] for name in ("strands", "hollows"))
    free, limb = strands
    tables = [
        Table("open-strand", "A strand", "One that grows out of no other: a trunk or a core.", members(free)),
        Table("open-limb", "A strand with a parent", _limb(), [m for m in members(limb) if m not in members(free)]),
        Table("open-path", "Its path", free["properties"]["path"]["description"], _path(free["properties"]["path"])),
        *_kinds("relief", "Relief", free["properties"]["relief"]["oneOf"]),
        *_kinds("hollow", "Hollow", [one for one in hollows if "path" not in one["properties"]]),
        *(
            Table("open-hollow-as-strand", "A hollow as a strand", "Any kind, told as what is taken out.", members(one))
            for one in hollows
            if "path" in one["properties"]
        ),
    ]
    return form["description"], tables


def worked(document: Schema) -> list[Worked]:
    """The worked examples."""
    return [
        Worked(
            name.replace("_", "-"),
            example["summary"],
            example["description"],
            json.dumps(example["value"], indent=2, ensure_ascii=False),
            f"/docs/open-form/{name.removeprefix(EXAMPLES)}.svg",
        )
        for name, example in document["components"]["examples"].items()
        if name.startswith(EXAMPLES)
    ]


def _limb() -> str:
    return "As above, but for its own kinds, and with where it grows. Its root end is flat unless it is told otherwise."


def _path(path: Schema) -> list[Member]:
    return [member for one in path["oneOf"] for member in members(one)]


def _kinds(anchor: str, title: str, alternatives: list[Schema]) -> Iterator[Table]:
    for one in alternatives:
        kind = one["properties"]["kind"]["enum"][0]
        yield Table(f"open-{anchor}-{kind}", f"{title}: {kind}", "", members(one))
