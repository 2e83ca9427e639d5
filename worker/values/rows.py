"""`Rows`: a parameter that is a list of like objects, each of whose members is a `Parameter` (groups of legs)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from worker.values.parameter import Parameter, Unacceptable, Value

Row = dict[str, Value]


@dataclass(frozen=True, slots=True)
class Rows:
    """From `fewest` to `most` objects with these `members`, each of which may be left out and then has its default.

    `default` names what differs from the members' own defaults, row by row. In normal form every row has every member,
    in the order of their declaration, so that equal rows have equal texts.
    """

    name: str
    title: str
    help: str
    members: tuple[Parameter, ...]
    most: int
    fewest: int = 0
    default: tuple[Mapping[str, Value], ...] = ()
    figure: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.fewest <= len(self.default) <= self.most:
            raise ValueError(f"the default of {self.name} has too few or too many rows")

    def member(self, name: str) -> Parameter:
        """The declaration of one member. Raises KeyError."""
        return {member.name: member for member in self.members}[name]

    def written(self) -> list[Row]:
        """The default, in normal form."""
        return self.parse([dict(row) for row in self.default])

    def parse(self, value: object) -> list[Row]:
        """The rows in normal form. Raises Unacceptable for the first thing that is not taken, with its place.

        A request is read by a marshmallow schema made of the same members, which finds every fault.
        """
        if not isinstance(value, list) or not self.fewest <= len(value) <= self.most:
            raise Unacceptable("not-rows", f"{self.name} is a list of {self.count_text()}")
        return [self._row(row, place) for place, row in enumerate(value)]

    def _row(self, row: object, place: int) -> Row:
        if not isinstance(row, Mapping):
            raise Unacceptable("not-an-object", f"{self.name}/{place} is an object")
        unknown = sorted(set(row) - {member.name for member in self.members})
        if unknown:
            raise Unacceptable("unknown-member", f"{self.name}/{place} has no {unknown[0]}")
        return {member.name: member.parse(row.get(member.name, member.default)) for member in self.members}

    def count_text(self) -> str:
        """How many there may be, in words: "0 to 8 objects"."""
        return f"{self.fewest} to {self.most} objects"

    def allowed(self) -> dict[str, object]:
        """What a caller may send, for a fault's `allowed`."""
        return {
            "type": "array",
            "minItems": self.fewest,
            "maxItems": self.most,
            "members": [member.name for member in self.members],
        }

    def json_schema(self) -> dict[str, Any]:
        """JSON Schema 2020-12."""
        described: dict[str, Any] = {
            "title": self.title,
            "description": self.help,
            "default": self.written(),
            "type": "array",
            "minItems": self.fewest,
            "maxItems": self.most,
            "items": {
                "type": "object",
                "additionalProperties": False,
                "properties": {member.name: member.json_schema() for member in self.members},
            },
        }
        return {**described, "x-figure": self.figure} if self.figure else described
