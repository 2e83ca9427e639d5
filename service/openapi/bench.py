"""Figures of shot and master in an answer."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, number, object_of, ref, text, whole


def metrics() -> dict[str, Schema]:
    """Members of `metrics`, where a request asks for them."""
    return {
        "shot": {**ref("Shot"), "description": "Where the request has a shot, a mould or a bench sheet."},
        "master": {**ref("Master"), "description": "Where the request has a print or asks for the master."},
    }


def schemas() -> dict[str, Schema]:
    """The objects that those members are."""
    return {
        "Shot": _shot(),
        "ShotColour": object_of(
            {
                "place": text("Where it lies: all, back, belly, skin, core."),
                "name": text("What the request calls it."),
                "colour": text("`#rrggbb`."),
                "share_pct": number("Of the bait's volume."),
                "bait_g": number("In a bait."),
                "run_fresh_g": number("To be mixed for the whole run."),
            },
            description="One colour of a bait.",
        ),
        "Filling": object_of(
            {
                "seconds": number("To fill every cavity."),
                "pressure_mpa": number("What sprue, runner and gate take meanwhile, by Poiseuille's law."),
            },
            description="How the plastic fills the mould at one viscosity.",
        ),
        "Master": _master(),
        "Orientation": _orientation(),
    }


def _shot() -> Schema:
    return object_of(
        {
            "shrinkage_pct": number("Of the bait's length, salt and packing taken into account."),
            "shrinkage_source": text("Where that comes from."),
            "cavity_scale": number("Length of the cavity over the bait's: 1 / (1 - s)."),
            "cavities": whole("In the mould."),
            "cavity_mm3": number("One cavity."),
            "channels_mm3": number("Sprue, runners and gates together."),
            "hot_density_g_cm3": number("Of the plastic as it is poured."),
            "bait_g": number("A bait as it leaves the mould, before anything is cut: mass is kept, volume shrinks."),
            "fed_from_sprue_g": number("What a bait takes from the sprue while it shrinks."),
            "channels_g": number("What sets in the channels at a shot."),
            "shot_g": number("What enters the mould at a shot."),
            "shot_ml": number("The same as hot plastic in the injector."),
            "waste_g": number("What stays in pot and injector, a shot."),
            "remelt_g": number("What goes back into the pot, a shot."),
            "fresh_g": number("What a shot takes of fresh plastic and salt; a run's first takes what is remelted too."),
            "injector_fillings": whole("How often the injector is filled for a shot."),
            "shots_per_filling": whole("How many shots a filling does; 0 where it takes several fillings."),
            "colours": list_of("ShotColour", "By volume; the back's or the skin's first."),
            "fresh_per_bait_g": number("Plastic and salt, waste and channels included."),
            "salt_per_bait_g": number("Salt in it."),
            "salt_per_litre_g": number("Salt to a litre of plastic as it is bought."),
            "plastic_per_bait_ml": number("Plastic as it is bought."),
            "baits_per_litre": number("Of a litre of plastic."),
            "baits_per_bottle": whole("Whole ones of a bottle."),
            "run": object_of(
                {
                    "baits": whole("As asked for."),
                    "shots": whole("Whole ones."),
                    "plastic_ml": number("As it is bought."),
                    "plastic_g": number("The same by weight."),
                    "salt_g": number("By weight."),
                    "bottles": whole("To be opened."),
                },
                description="All that are wanted.",
            ),
            "cost": {"type": ["object", "null"], "description": "Of a bait, part by part; null without prices."},
            "clamp_n": number("Pressure times the area that pushes the halves apart."),
            "projected_mm2": number("That area."),
            "fill": {
                "anyOf": [
                    object_of({"thin": ref("Filling"), "thick": ref("Filling")}),
                    {"type": "null"},
                ],
                "description": "At the least and the greatest hot viscosity; null where nothing runs through a gate.",
            },
            "cooling": object_of(
                {
                    "form": text("What the thickest place cools like.", enum=["cylinder", "plate"]),
                    "thickness_mm": number("Of that cylinder or plate."),
                    "wall_c": number("Temperature of the mould's wall as the plastic meets it, or as it is told."),
                    "low_s": number("At the greatest diffusivity of the plastic."),
                    "typical_s": number("At a usual one."),
                    "high_s": number("At the least."),
                },
                description="Until the middle has the release temperature, by the published series.",
            ),
            "cycle_s": number("Of one mould from shot to shot: filling, cooling, handling."),
            "shot_every_s": number("From one shot to the next: the cycle, or what moulds in turn leave of it."),
            "baits_per_hour": number("Of a shot each so many seconds."),
            "assumed": {
                "type": "array",
                "items": {"type": "string"},
                "description": "What is assumed of the mould, a sentence each.",
            },
        },
        description="What a pour takes, how it fills and cools, and what it costs.",
    )


def _master() -> Schema:
    return object_of(
        {
            "scale": number("Its length over the bait's: 1 / (1 - s) of plastic, mould and print, multiplied."),
            "shrinkages": {
                "type": "array",
                "items": object_of(
                    {
                        "of": text("Whose.", enum=["plastic", "mould", "print"]),
                        "per_cent": number("Of a length; below 0 it grows."),
                        "source": text("Where the figure comes from."),
                    }
                ),
                "description": "Step by step.",
            },
            "length_mm": number("With its stub."),
            "width_mm": number("Greatest width."),
            "height_mm": number("Greatest height, less a flat."),
            "least_wall_mm": number("What the process prints at the least."),
            "thin_places": {
                "type": "array",
                "items": object_of(
                    {
                        "place": whole("Its number on `master.svg`."),
                        "strand": text("On which strand."),
                        "station_mm": number("Of the bait, from that strand's root."),
                        "across_mm": number("Of the master."),
                        "prints": {"type": "boolean", "description": "Whether it is at least the least wall."},
                    }
                ),
                "description": "The thinnest of the trunk and of every kind of limb, the thinnest first.",
            },
            "volume_mm3": number("With its base; in a build that makes `master.stl`."),
            "triangles": whole("Of its mesh, likewise."),
            "orientations": {
                "type": "array",
                "items": object_of({"way": text("Which way up."), "overhang_pct": number("Of the surface.")}),
                "description": "Overhang by the six ways up along the axes, likewise.",
            },
            "best": {**ref("Orientation"), "description": "The best of twenty-six ways up, likewise."},
        },
        optional=("volume_mm3", "triangles", "orientations", "best"),
        description="The bait made larger by all that shrinks after it, to be printed and cast over.",
    )


def _orientation() -> Schema:
    return object_of(
        {
            "way": text("In words."),
            "up": {
                "type": "array",
                "items": {"type": "number"},
                "minItems": 3,
                "maxItems": 3,
                "description": "The direction of the master that points up, a unit vector.",
            },
            "overhang_pct": number("Of the surface that leans further than the process prints without support."),
            "height_mm": number("Above the bed."),
            "layers": whole("How many."),
            "footprint_mm": {
                "type": "array",
                "items": {"type": "number"},
                "minItems": 2,
                "maxItems": 2,
                "description": "Sides of a rectangle around it on the bed.",
            },
            "fits": {"type": "boolean", "description": "Whether it fits the printer."},
        },
        description="The way up with the least overhang of those that fit and stand without swaying.",
    )
