"""Tear sections in an answer."""

from __future__ import annotations

from service.openapi.shapes import Schema, number, object_of, ref, text

_PLACE: Schema = {
    "type": "array",
    "items": {"type": "number"},
    "minItems": 3,
    "maxItems": 3,
}
CENTRE: Schema = {**_PLACE, "description": "The cut's middle: behind the nose, to the left, to the back; mm."}
NORMAL: Schema = {**_PLACE, "description": "The way to what is lost, square to the cut: a unit vector."}


def metrics() -> dict[str, Schema]:
    """The member of `metrics`."""
    return {
        "tear_sections": {
            "anyOf": [{"type": "array", "items": ref("TearSection")}, {"type": "null"}],
            "description": "Where each end parts, whatever its shape, by least cuts through the joined solid. Null "
            "where the request does not ask with `checks.joint_pull.view` = `cut`; an estimate has no solid and leaves "
            "it out; empty for a bait in pieces.",
        }
    }


def tear_section(verdict: Schema) -> Schema:
    """One tear section."""
    return object_of(
        {
            "extremity": text("What is lost: `nose`, `tail_end` or a strand's name."),
            "kind": text("What kind of strand that is."),
            "station_mm": number("Along that strand; nose and tail end from the nose."),
            "centre_mm": CENTRE,
            "normal": NORMAL,
            "area_mm2": number("The least section."),
            "uncertainty_mm2": number("How far that may be off."),
            "length_mm": number("The section, the longer way."),
            "thickness_mm": number("The section's area over its length."),
            "widest_mm": number("How wide it is across its length where it is widest."),
            "measured_on": text(
                "A flat cut is measured on the bait's surface, another on a grid.", enum=["surface", "grid"]
            ),
            "refined": {
                "type": "boolean",
                "description": "Whether it is one of the three weakest, which are looked at again on finer grids.",
            },
            "lost_pct": number("How much of the bait is lost with it, by volume."),
            "notch_factor": number("By how much the notch raises the stress."),
            "mode": text(
                "Torn across, or peeled off from one end of a long thin seam; the one that takes less pull.",
                enum=["tear", "peel"],
            ),
            "pull_n": number("The pull at which it goes; peeled: tear energy times the seam's greatest width."),
            "pull_low_n": number("The same with the lowest strength or tear energy."),
            "pull_high_n": number("The same with the highest; torn, without the notch."),
            "limit_n": number("What it is held to."),
            "verdict": {**verdict, "description": "Pull against limit."},
            "joint": {
                "type": ["integer", "null"],
                "description": "The joint that planes see there, whose pull it then has; null where they see none.",
            },
        },
        description="The least section that parts one end of a bait from where it is held.",
    )
