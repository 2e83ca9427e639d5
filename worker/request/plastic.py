"""The member `plastic` of a request, and the definition of a plastic of a caller's own: the same figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from marshmallow import ValidationError

from worker.request.composed import ObjectField, StrictSchema, schema
from worker.request.faults import Flaw
from worker.request.fields import OptionalParameterField, ParameterField, TextField, refused
from worker.values.blends import USUAL_C
from worker.values.hardness import SCALES, modulus_of
from worker.values.own_plastics import FIGURES, nearest_grade
from worker.values.parameter import Parameter
from worker.values.plastics import BUILT_IN

LONGEST_NAME = 64
MEASURED = "as its owner gave it"

GRADE = Parameter(
    "grade",
    "choice",
    "Grade",
    "How soft the plastic is when it has set. Of a plastic of your own: whose figures stand where it has none; left "
    "out, the grade nearest to the figures that it has.",
    default="soft",
    choices=tuple(BUILT_IN),
)
SALT = Parameter(
    "salt_wt_pct",
    "number",
    "Salt",
    "Salt over salt and plastic together, by weight: it sinks the bait and weakens the plastic.",
    default=0.0,
    maximum=45.0,
    step=1.0,
    unit="%",
)
SOFTENER = Parameter(
    "softener_pct",
    "number",
    "Softener",
    "Softener added, by weight of the plastic: less stiff, less strong. A rule of judgement, which widens every range.",
    default=0.0,
    maximum=40.0,
    step=1.0,
    unit="%",
)
HARDENER = Parameter(
    "hardener_pct",
    "number",
    "Hardener",
    "Hardener added, by weight of the plastic: stiffer, stronger. A rule of judgement, which widens every range.",
    default=0.0,
    maximum=40.0,
    step=1.0,
    unit="%",
)
WARMTH = Parameter(
    "temperature_c",
    "number",
    "Temperature of use",
    "Of the bait when it is fished: plastic softens much as it warms. A rule of judgement, which widens every range.",
    default=USUAL_C,
    minimum=0.0,
    maximum=45.0,
    step=1.0,
    unit="°C",
)
SCALE = Parameter("scale", "choice", "Scale", "Shore A, or Shore 00 for softer ones.", default="A", choices=SCALES)
HARDNESS = Parameter(
    "value", "number", "Hardness", "As the durometer shows it.", default=10.0, minimum=0.0, maximum=90.0, step=1.0
)


class _Range(StrictSchema):
    """Low, typical and high in order."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if not data["low"] <= data["typical"] <= data["high"]:
            flaw = Flaw("not-in-order", "low is at most typical, and typical at most high.", None)
            raise ValidationError([flaw])
        return data


def _range(figure: Parameter) -> ObjectField:
    parts = {name: ParameterField(figure, required=True) for name in ("low", "typical", "high")}
    words = "Where it comes from, in a line: how many pieces were measured, when."
    source = TextField(200, "Source", words, load_default=MEASURED)
    return ObjectField(schema(_Range, **parts, source=source), figure.title, f"In {figure.unit}.", absent=True)


class _Properties(StrictSchema):
    """Hardness stands for a modulus where that was not measured."""

    says = {"not": {"required": ["modulus", "hardness"]}}

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        hardness = data.pop("hardness", None)
        if hardness is None:
            return data
        if "modulus" in data:
            flaw = Flaw("one-or-the-other", "A measured modulus needs no hardness beside it.", {"members": ["modulus"]})
            raise ValidationError({"hardness": [flaw]})
        told = modulus_of(hardness["scale"], hardness["value"])
        parts = {"low": told.low, "typical": told.typical, "high": told.high, "source": told.source}
        return {**data, "modulus": parts}


class _Measured(_Properties):
    """At least one of them; which is told with the definition's other faults."""

    says = {**_Properties.says, "minProperties": 1}


_FIGURES = {name: _range(figure) for name, figure in FIGURES.items()}
_HARDNESS = ObjectField(
    schema(scale=ParameterField(SCALE), value=ParameterField(HARDNESS, required=True)),
    "Hardness",
    "In place of a modulus: Shore A by Gent's relation, of low confidence below A 20; Shore 00 as a band.",
    absent=True,
)
PROPERTIES = schema(_Properties, **_FIGURES, hardness=_HARDNESS)
MEASURED_PROPERTIES = schema(_Measured, **_FIGURES, hardness=_HARDNESS)


def _nothing_measured() -> ValidationError:
    figures = [name for name in FIGURES if name != "modulus"]
    detail = f"Give at least one figure: modulus or hardness, {', '.join(figures[:-1])} or {figures[-1]}."
    return ValidationError({"properties": [Flaw("nothing-measured", detail, {"members": sorted(PROPERTIES.fields)})]})


class _GradeField(OptionalParameterField):
    """Left out, it is chosen by what stands beside it."""

    def json_schema(self) -> dict[str, Any]:
        """See StrictField. Where no figures stand beside it, the default is a grade of its own."""
        return {**super().json_schema(), "default": self.parameter.default}


class _Plastic(StrictSchema):
    """A name stands for figures: whoever reads a request with the name alone has to put them in before."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        properties = data.get("properties")
        if "name" in data and not properties:
            raise _nothing_measured() if properties is not None else ValidationError({"name": [unknown(data["name"])]})
        if properties is not None and not properties:
            data.pop("properties")
        return {"grade": nearest_grade(properties) if properties else GRADE.default, **data}


def unknown(name: str, choices: Iterable[str] = ()) -> Flaw:
    """What is wrong with a name that no plastic is kept by; `choices` are names that one is."""
    if name in BUILT_IN:
        detail = f"{name} is a built-in grade: say it as `grade`, and leave `name` to plastics of your own."
        return Flaw("built-in", detail, {"members": ["grade"]})
    detail = "There is no plastic of this name; keep it with PUT /v1/plastics/{name}, or name a built-in `grade`."
    return Flaw("unknown-plastic", detail, {"choices": sorted(choices)})


class _OwnNameField(TextField):
    """A name of the caller's own: a built-in grade's, with other figures beside it, would be told as that grade's."""

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **options: Any) -> Any:
        name = super()._deserialize(value, attr, data, **options)
        if name in BUILT_IN:
            raise refused(unknown(name))
        return name

    def json_schema(self) -> dict[str, Any]:
        """See StrictField."""
        return {**super().json_schema(), "not": {"enum": list(BUILT_IN)}}


PLASTIC = schema(
    _Plastic,
    grade=_GradeField(GRADE),
    salt_wt_pct=ParameterField(SALT),
    softener_pct=ParameterField(SOFTENER),
    hardener_pct=ParameterField(HARDENER),
    temperature_c=ParameterField(WARMTH),
    name=_OwnNameField(LONGEST_NAME, "Name", "A plastic of your own, as it was kept with PUT /v1/plastics/{name}."),
    properties=ObjectField(
        PROPERTIES,
        "Properties",
        "What was measured of the plastic; what is left out is its grade's, from memory and judgement.",
        absent=True,
    ),
)


class _Definition(StrictSchema):
    """What is kept of a plastic: at least one figure, and whether its grade was chosen for it (`grade_chosen`)."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        if not data["properties"]:
            raise _nothing_measured()
        return data if "grade" in data else {**data, **chosen_grade(data["properties"])}


def chosen_grade(properties: Mapping[str, Any]) -> dict[str, Any]:
    """The members of a definition that name the grade where its owner named none."""
    return {"grade": nearest_grade(properties), "grade_chosen": True}


DEFINITION = schema(
    _Definition,
    grade=OptionalParameterField(GRADE),
    summary=TextField(200, "Summary", "What it is, in a line.", load_default="A plastic of the caller's own."),
    properties=ObjectField(MEASURED_PROPERTIES, "Properties", "What was measured of it.", required=True),
)
