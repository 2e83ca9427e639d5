"""What a style is: parameters, a function to strands, and what cannot stand together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from worker.errors import Fault
from worker.open_form.telling import told_hollows, told_strands, untold
from worker.strands.ligament import Ligament
from worker.strands.strand import Strand
from worker.strands.taken import Taken
from worker.styles.sentence import made_sentence, with_fixed
from worker.values.parameter import Parameter, Value
from worker.values.rows import Row, Rows

Params = Mapping[str, Any]
"""Parameters in normal form: numbers and choices, and lists of rows under the name of a `Rows`."""

DRAWING = "/v1/styles/{style}/drawings/{parameter}.svg"
"""Where the service has a parameter's drawing."""


def rows_of(params: Params, name: str) -> list[Row]:
    """The rows of a `Rows` parameter, every member written."""
    return list(params[name])


@dataclass(frozen=True)
class Remedy:
    """A parameter that mends a check when it is moved `up` or `down`, and the words for it.

    Of a `Rows` parameter: its `member`, in every row whose members are as `only` says (all rows where that is empty).
    What is named in `along`, other parameters or members, is brought to the value too where it falls short of it: a
    limb whose tip grows thicker than its root needs a thicker root.
    """

    parameter: str
    up: bool
    text: str
    member: str = ""
    only: tuple[tuple[str, Value], ...] = ()
    along: tuple[str, ...] = ()


def _none(params: Params) -> tuple[Strand, ...]:
    return ()


def _no_ligaments(params: Params) -> tuple[Ligament, ...]:
    return ()


def _nothing_known(params: Params) -> Taken:
    return Taken()


@dataclass(frozen=True, eq=False)
class Style:
    """A family of baits. `strands` turns parameters in normal form into the bait's strands (arithmetic alone).

    Each is itself and no other, so that what is made of one can be kept by it.
    """

    name: str
    title: str
    summary: str
    parameters: tuple[Parameter | Rows, ...]
    strands: Callable[[Params], tuple[Strand, ...]]
    infeasible: Callable[[Params], Iterable[Fault]]
    example: Mapping[str, Any]
    remedies: Mapping[str, tuple[Remedy, ...]]
    hollows: Callable[[Params], tuple[Strand, ...]] = _none
    """What is taken out, each a strand of its own."""
    ligaments: Callable[[Params], tuple[Ligament, ...]] = _no_ligaments
    """What the hollows leave standing and the bait hangs by."""
    taken: Callable[[Params], Taken] = _nothing_known
    """What those hollows take away whose volume is a closed form."""
    sentence: str = ""
    """The bait said in words: `{style}` stands for its title, `{name}` for a parameter's value with its unit; `(s)` is
    there where the number before it is not 1. Left out, one is made of the parameters that the example sets."""
    base: str = ""
    """Of a house style: the built-in style that it narrows."""
    fixed: Mapping[str, Any] = field(default_factory=dict)
    """Of a house style: what it holds fast, in normal form; a request does not say it."""

    @property
    def built_in(self) -> str:
        """The name of the built-in style that the strands come from."""
        return self.base or self.name

    @property
    def free(self) -> tuple[Parameter | Rows, ...]:
        """The parameters that a request may say."""
        return tuple(parameter for parameter in self.parameters if parameter.name not in self.fixed)

    def whole(self, params: Params) -> dict[str, Any]:
        """What a request says with what is held fast: every parameter, in the order of their declaration."""
        return {each.name: self.fixed.get(each.name, params.get(each.name)) for each in self.parameters}

    def parameter(self, name: str) -> Parameter:
        """The declaration of one number or choice. Raises KeyError."""
        found = {parameter.name: parameter for parameter in self.parameters}[name]
        if isinstance(found, Rows):
            raise KeyError(name)
        return found

    def rows(self, name: str) -> Rows:
        """The declaration of one list of objects. Raises KeyError."""
        return {parameter.name: parameter for parameter in self.parameters if isinstance(parameter, Rows)}[name]

    def defaults(self) -> dict[str, Any]:
        """Every parameter at its default, in normal form."""
        return {
            parameter.name: parameter.written() if isinstance(parameter, Rows) else parameter.default
            for parameter in self.parameters
        }

    def params_schema(self) -> dict[str, Any]:
        """JSON Schema 2020-12 of `params`: good enough to draw a form from."""
        return {
            "type": "object",
            "additionalProperties": False,
            "properties": {
                parameter.name: self._with_drawing(parameter.json_schema(), parameter.name) for parameter in self.free
            },
        }

    def _with_drawing(self, schema: dict[str, Any], name: str) -> dict[str, Any]:
        """The schema, and those of a row's members, with the address of the drawing that explains it."""
        if "items" in schema:
            members = schema["items"]["properties"]
            explained = {member: self._with_drawing(below, f"{name}.{member}") for member, below in members.items()}
            schema = {**schema, "items": {**schema["items"], "properties": explained}}
        return {**schema, "x-drawing": DRAWING.format(style=self.built_in, parameter=name)}

    def told_sentence(self) -> str:
        """The sentence, or one that is made; what is held fast stands in it in words, and only the rest in braces."""
        sentence = self.sentence or made_sentence(self.parameters, self.example.get("params", {}))
        return with_fixed(sentence, self.parameters, self.fixed)

    def describe(self) -> dict[str, Any]:
        """For `GET /v1/styles/{style}`: with an example request and the strands that it becomes."""
        example = {**self.defaults(), **_in_normal_form(self, self.example.get("params", {}))}
        strands = self.strands(example)
        return {
            "name": self.name,
            "title": self.title,
            "summary": self.summary,
            "sentence": self.told_sentence(),
            "example": dict(self.example),
            "params_schema": self.params_schema(),
            "strands": told_strands(strands),
            "hollows": told_hollows(self.hollows(example)),
            "untold": list(untold(strands)),
        }


def _in_normal_form(style: Style, params: Mapping[str, object]) -> dict[str, Any]:
    declared = {parameter.name: parameter for parameter in style.parameters}
    return {name: declared[name].parse(value) for name, value in params.items()}
