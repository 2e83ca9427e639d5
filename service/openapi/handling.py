"""Figures of water, hook and bending in an answer."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, number, object_of, ref, text

_FALL: dict[str, Schema] = {
    "net_mass_g": number("What is left of its mass in water; below 0 it rises."),
    "net_mass_low_g": number("The same with the plastic's lowest density."),
    "net_mass_high_g": number("The same with its highest."),
    "behaviour": text(
        "`suspends`: net under 0.3 % of the mass, or within what is known of the plastic's density.",
        enum=["floats", "suspends", "sinks"],
    ),
    "sink_rate_mm_s": number("In still water on a slack line, good to a quarter; below 0 it rises so fast."),
    "sink_rate_low_mm_s": number("The same with the lowest density."),
    "sink_rate_high_mm_s": number("The same with the highest."),
    "attitude_deg": number("How far its nose points down as it falls; below 0 it points up. Our own derivation."),
    "note": text("Where the figure is less certain than usual, why."),
}


def metrics() -> dict[str, Schema]:
    """Members of `metrics`; the hook's are null without a rig, and bending's for a bait in pieces."""
    return {
        "fresh_water": {**ref("Water"), "description": "In fresh water of the temperature asked for."},
        "salt_water": {**ref("Water"), "description": "In salt water of that temperature and salinity."},
        "hook_hold_n": number("The pull at which the rig's hook cuts through the plastic; null without a rig.", "null"),
        "hook_hold_low_n": number("The same with the lowest tear energy.", "null"),
        "hook_hold_high_n": number("The same with the highest.", "null"),
        "hook_clearance_mm": number("What the plastic leaves free of the gape; below 0 the point stays in.", "null"),
        "hold_station_mm": number(
            "It bends from here on: where the hook leaves the trunk's nose, behind any fan.", "null"
        ),
        "tip_give_mm_per_mn": {
            "anyOf": [ref("TipGive"), {"type": "null"}],
            "description": "How far the tip begins to give under a small force.",
        },
        "bending_length_mm": number(
            "How stiff it is for its weight: half of what overhangs an edge where the line to its tip falls 41.5°; of "
            "an even rod the cube root of EI over the weight of a millimetre.",
            "null",
        ),
        "droop_tip_deg": {
            "anyOf": [ref("Droop"), {"type": "null"}],
            "description": "How far below level the trunk's tip points when it is held level by the nose.",
        },
        "flex_profile": list_of(
            "Stretch", "How stiff it is from the hold to the tip; empty for a bait in pieces or held at its end."
        ),
        "judgement": {
            "type": "array",
            "items": {"type": "string"},
            "description": "What of these figures is judgement and not measured, a sentence each.",
        },
    }


def schemas() -> dict[str, Schema]:
    """The objects that those members are."""
    return {
        "Water": object_of(
            {
                "density_kg_m3": number("Of the water."),
                **_FALL,
                "rigged": {
                    "anyOf": [ref("Rigged"), {"type": "null"}],
                    "description": "The same with hook and weights; null without a rig.",
                },
            },
            optional=("note",),
            description="What the bait does in this water, bare.",
        ),
        "Rigged": object_of(
            {"mass_g": number("In air, with hook and weights."), **_FALL},
            optional=("note",),
            description="What it does with its rig.",
        ),
        "TipGive": object_of(
            {
                "side": number("Sideways."),
                "up_down": number("Up or down."),
                "tails": list_of("TailGive", "Each tail at its own tip, the trunk's give included."),
            },
            description="mm for each millinewton.",
        ),
        "TailGive": object_of(
            {
                "strand": text("The tail."),
                "side": number("Sideways."),
                "up_down": number("Up or down."),
            },
            description="mm for each millinewton at a tail's tip.",
        ),
        "Droop": object_of(
            {
                "air": number("In air."),
                "fresh_water": number("In fresh water; below 0 the tip rises."),
                "salt_water": number("In salt water."),
            },
            description="Degrees below level, under its own weight.",
        ),
        "Stretch": object_of(
            {
                "station_mm": number("Its middle, along the trunk."),
                "up_down_n_mm2": number("Bending stiffness, up and down, as stiff as the stretch is on the whole."),
                "side_n_mm2": number("The same, sideways."),
            },
            description="One of the equal stretches from the hold to the tip.",
        ),
    }
