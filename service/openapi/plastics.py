"""Plastics in an answer, and what measurements make of them."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, number, object_of, only_list, ref, text, whole
from worker.request.composed import object_schema
from worker.request.measurements import MEASUREMENTS
from worker.request.plastic import DEFINITION
from worker.values.own_plastics import FIGURES

_FIGURE: Schema = {"type": "string", "enum": list(FIGURES)}


def schemas(verdict: Schema) -> dict[str, Schema]:
    """The objects of plastics; `verdict` is what a check may answer."""
    return {
        "Plastic": _plastic(),
        "Plastics": only_list("plastics", "Plastic"),
        "PlasticDefinition": object_schema(DEFINITION),
        "Range": object_of(_range()),
        "Measurements": object_schema(MEASUREMENTS),
        "MeasuredPlastic": _measured(),
        "MeasuredFigure": _figure(),
        "ChangedVerdict": _changed(verdict),
    }


def _plastic() -> Schema:
    return object_of(
        {
            "name": text("As it is asked for."),
            "summary": text("What it is for."),
            "density": ref("Range"),
            "hardness": {**ref("Range"), "description": "Shore 00, as its modulus lets expect it."},
            "modulus": ref("Range"),
            "strength": ref("Range"),
            "tear_energy": ref("Range"),
            "shrinkage": {**ref("Range"), "description": "Of the mould's length, lost until the piece is cold."},
            "grade": text("Of one of your own: whose figures stand where yours are not."),
            "grade_is": text("Whether you gave it, or it is the nearest to your figures.", enum=["given", "nearest"]),
            "measured": {
                "type": "array",
                "items": {"type": "string"},
                "description": "Of one of your own: the figures that you gave.",
            },
            "filled": {
                "type": "object",
                "additionalProperties": {"type": "string"},
                "description": "Of one of your own: the figures that are a grade's, and which one's.",
            },
            "pieces": {
                "type": "object",
                "propertyNames": _FIGURE,
                "additionalProperties": {"type": "integer", "minimum": 1},
                "description": "Of one of your own: how many test pieces are kept behind each measured figure.",
            },
        },
        optional=("grade", "grade_is", "measured", "filled", "pieces"),
    )


def _range() -> dict[str, Schema]:
    return {
        "low": number("The least that is likely."),
        "typical": number("What is reckoned with."),
        "high": number("The most that is likely."),
        "unit": text("Of all three."),
        "source": text("Where they come from."),
    }


def _measured() -> Schema:
    return object_of(
        {
            "plastic": ref("Plastic"),
            "figures": {
                "type": "object",
                "propertyNames": _FIGURE,
                "additionalProperties": ref("MeasuredFigure"),
                "description": "What was measured, by its name.",
            },
            "baits": object_of(
                {
                    "kept": whole("How many baits you keep that name this plastic; of the last 1000."),
                    "looked_at": whole("How many of them were worked out anew, the newest first."),
                    "at_most": whole("How many are looked at, at most; fewer where it takes too long."),
                    "changed": list_of("ChangedVerdict", "The checks that are answered otherwise."),
                },
            ),
        }
    )


def _figure() -> Schema:
    return object_of(
        {
            **_range(),
            "count": whole("Pieces."),
            "typical_is": text("How the typical value comes from the pieces.", enum=["mean"]),
            "spread": text("How low and high come from the pieces."),
            "pieces": {
                "type": "array",
                "items": {"type": "number"},
                "description": "What each piece told: those of this call first, in their order, then those kept.",
            },
            "calls": whole("In how many calls they came."),
        }
    )


def _changed(verdict: Schema) -> Schema:
    return object_of(
        {
            "id": text("The bait.", pattern="^[0-9a-f]{64}$"),
            "check": text("The check's name."),
            "was": {**verdict, "description": "Its estimate with the figures that stand in the bait's own request."},
            "is": {**verdict, "description": "The same with the figures that are kept now."},
        },
        description="A check of a kept bait that the new figures answer otherwise. The bait itself stays.",
    )
