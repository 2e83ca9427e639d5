"""Figures of a mould in an answer."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, number, object_of, ref, text, whole


def metrics() -> dict[str, Schema]:
    """The member of `metrics`, where a request asks for a mould or its files; a build alone has it."""
    return {"mould": {**ref("Mould"), "description": "Where the request has a mould; with a build alone."}}


def schemas() -> dict[str, Schema]:
    """The objects that it is."""
    return {"Mould": _mould(), "Pin": _pin()}


def _pin() -> Schema:
    return object_of(
        {
            "hollow": text("What it leaves hollow."),
            "diameter_mm": number("At its mouth."),
            "out_at": text("nose or tail: where it is drawn out."),
        },
        description="A core pin, or the form that is dipped.",
    )


def _mould() -> Schema:
    return object_of(
        {
            "kind": text("As asked."),
            "material": text("As asked."),
            "cavities": whole("Baits at a shot."),
            "cavity_volume_mm3": number("One cavity, grown by what the plastic shrinks; hot plastic fills it."),
            "channels_volume_mm3": number("Runners and gates."),
            "sprue_volume_mm3": number("The sprue, at least a tenth of the cavities."),
            "sprue_diameter_mm": number("Where it is as thick as the bait's thickest section or thicker."),
            "sprue_length_mm": number("From the injector's seat to the parting plane."),
            "runner_length_mm": number("All of them."),
            "runner_diameter_mm": number("Of a runner."),
            "projected_area_mm2": number("Plan of what the plastic fills; pressure times this holds it shut."),
            "gate_width_mm": number("Along the parting plane."),
            "gate_depth_mm": number("Across it."),
            "gate_length_mm": number("From runner to cavity."),
            "thickest_mm": number("Diameter of the greatest ball in the cavity."),
            "thickest_area_mm2": number("Section that is fed."),
            "block_length_mm": number("The closed mould along the bait, or along the cavities side by side."),
            "block_width_mm": number("Across that."),
            "block_height_mm": number("Both halves together."),
            "shot_volume_mm3": number("Plastic of one filling."),
            "growth": number("Length of the cavity over the bait's."),
            "parting": object_of(
                {
                    "turn_deg": number("About the line from nose to tail."),
                    "height": number("From that line, mm of the bait."),
                    "searched": {"type": "boolean", "description": "Whether it was the best of those tried."},
                    "form": {"enum": ["flat", "following"], "description": "Of the face between the halves."},
                    "steepest_deg": number("Slope of that face, degrees; 0 where it is flat."),
                },
                description="The parting plane, and the face that the halves meet in.",
            ),
            "gate_side": {
                "type": ["string", "null"],
                "description": "Where the gate stands: left, right, nose or tail, as the bait lies; null without one.",
            },
            "fed_thickness_mm": number("Thickness of what the gate feeds.", "null"),
            "wall_mm": number("As asked, or the material's."),
            "vent_depth_mm": number("Of the vents' lands."),
            "vents": whole("How many, over all cavities."),
            "balance": number("By what share of the block its parts and all that is cut out miss it."),
            "triangles": {"type": "object", "description": "Of each part's mesh."},
            "pins": list_of("Pin", "Core pins of one cavity."),
            "judgement": text("What of this is judgement."),
        },
        description="A mould in numbers.",
    )
