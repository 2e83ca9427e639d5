"""Figures and checks in an answer."""

from __future__ import annotations

from service.openapi import bench, handling, moulds, tearing
from service.openapi.shapes import Schema, list_of, number, object_of, ref, text, whole

VERDICT: Schema = {"type": "string", "enum": ["pass", "caution", "fail"]}


def metrics() -> Schema:
    """`metrics`; empty while a bait is under way."""
    figures = object_of(
        {
            "length_mm": number("Nose to tail."),
            "laid_straight_mm": number("Nose to tip along the longest tail, as if it were laid straight."),
            "max_width_mm": number("Greatest width."),
            "max_height_mm": number("Greatest height."),
            "volume_mm3": number("Volume."),
            "surface_mm2": number("Surface."),
            "pieces": whole("Into how many pieces it falls; more than one fails a check."),
            "mass_g": number("Mass by the plastic's typical density, salt included."),
            "mass_low_g": number("Mass by the lowest density."),
            "mass_high_g": number("Mass by the highest density."),
            "joints": list_of("Joint", "Every joint, from the nose on."),
            "weakest_joint": {
                "anyOf": [ref("Joint"), {"type": "null"}],
                "description": "The one with the smallest pull over its limit; null for a bait in pieces. It is a "
                "`cut` where the request asks for cuts and one, its uncertainty added, holds under 0.85 of that.",
            },
            **tearing.metrics(),
            "flexibility_ratio": number(
                "How much more easily it bends than without its relief; null for a bait in pieces.", "null"
            ),
            "thinnest_mm": {"description": "The thinnest place, and where."},
            **handling.metrics(),
            "triangles": whole("Of the mesh."),
            "through_holes": whole("Holes from one side to the other."),
            **bench.metrics(),
            **moulds.metrics(),
        },
        optional=("triangles", "through_holes", "tear_sections", "shot", "master", "mould"),
    )
    del figures["required"]
    return {
        **figures,
        "description": "Figures; a unit stands at the end of each name. Empty until there are any.",
    }


def joint() -> Schema:
    """One joint."""
    return object_of(
        {
            "joint": {
                "type": ["integer", "null"],
                "description": "Its number, from the nose on; null for a cut that no plane sees.",
            },
            "strand": text("The strand that it lies on."),
            "kind": text("What kind of joint."),
            "station_mm": number("How far along its strand: of the trunk from the nose, of a limb from its root."),
            "area_mm2": number(
                "Its cross-section; where the root of a limb covers a neck of the trunk, with what a tear has to part "
                "of that by the least way."
            ),
            "equivalent_diameter_mm": number("The diameter of a round of the same area."),
            "notch_factor": number(
                "By how much the notch raises the stress, its root rounded by notch_rounding_mm besides."
            ),
            "pull_n": number("The tension at which it is expected to tear."),
            "pull_low_n": number("The same with the lowest strength, the notch, and the trunk alone."),
            "pull_high_n": number(
                "The same with the highest strength, without the notch, and all that the joint's plane cuts of limbs "
                "near the neck."
            ),
            "limit_n": number("What it is held to."),
            "verdict": {**VERDICT, "description": "Pull against limit."},
            "view": text("How it was found: by a plane, or by a cut.", enum=["plane", "cut"]),
            "note": text("Where the figure is less certain than usual, why."),
            "mode": text("Of a cut: torn or peeled.", enum=["tear", "peel"]),
            "uncertainty_mm2": number("Of a cut: how far its area may be off."),
            "centre_mm": {
                **tearing.CENTRE,
                "description": "The middle of a cut, and of a joint of a trunk that does not run straight back from "
                "the foremost point: behind that, to the left, to the back; mm.",
            },
            "normal": tearing.NORMAL,
        },
        optional=("view", "note", "mode", "uncertainty_mm2", "centre_mm", "normal"),
        description="A place where the bait may tear.",
    )


def check() -> Schema:
    """One check."""
    return object_of(
        {
            "check": text("Its name."),
            "verdict": {**VERDICT, "description": "The answer."},
            "value": {"type": ["number", "null"], "description": "What was found."},
            "limit": {"type": ["number", "null"], "description": "What it is held to."},
            "unit": {"type": ["string", "null"], "description": "Of both."},
            "where": {"type": ["object", "null"], "description": "The place that decides."},
            "text": text("All of it in a sentence."),
            "remedies": list_of("Remedy", "What would turn the verdict to `pass`."),
            "silenced": {"type": "boolean", "description": "The request asks not to be told."},
        },
        description="One question put to a bait.",
    )


def remedy() -> Schema:
    """One remedy of a check."""
    return object_of(
        {
            "text": text("What to do, in words with numbers."),
            "patch": {
                "type": "object",
                "description": "The same as a merge patch (RFC 7396) on the request.",
            },
            "gives": {"type": ["number", "null"], "description": "The value that the check then finds."},
        },
        description="A change that makes the check pass.",
    )
