"""Requests of our own, chosen so that every branch that makes a byte is in one of them."""

from __future__ import annotations

from typing import Any

REQUESTS: dict[str, dict[str, Any]] = {
    "a beaded worm, nothing but defaults": {"style": "beaded_worm"},
    "lengths in fractions of an inch": {
        "style": "beaded_worm",
        "params": {"length": "4-3/4 in", "bead_diameter": '3/8"', "bead_count": 16, "joint_blend": "1/32 in"},
        "outputs": ["3mf", "stl"],
    },
    "a taper": {
        "style": "beaded_worm",
        "params": {"length": 150, "bead_diameter": 11, "bead_count": 21, "taper": 0.45, "joint_blend": 1.1},
        "outputs": ["stl"],
    },
    "oval beads, drawn out, on a taper": {
        "style": "beaded_worm",
        "params": {"taper": 0.6, "bead_height_ratio": 0.75, "bead_length_ratio": 1.35, "bead_count": 13},
        "plastic": {"grade": "firm", "salt_wt_pct": 15},
        "outputs": ["glb", "stl"],
    },
    "beads that part, with remedies": {
        "style": "beaded_worm",
        "params": {"bead_count": 8, "joint_blend": 0},
        "plastic": {"grade": "medium"},
        "outputs": ["3mf", "stl"],
    },
    "flat disks as wide as they go, sharp, coarse": {
        "style": "beaded_worm",
        "params": {"length": 60, "bead_diameter": 20, "bead_length_ratio": 0.5, "bead_count": 7, "joint_blend": 0},
        "tolerance_mm": 0.1,
        "outputs": ["stl"],
    },
    "small and fine": {
        "style": "beaded_worm",
        "params": {"length": 50, "bead_diameter": 4, "bead_count": 14, "joint_blend": 0.35},
        "tolerance_mm": 0.005,
        "outputs": ["stl"],
    },
    "balls on a core, salted, with glitter": {
        "style": "jointed_worm",
        "label": "Alderbank 4-1/2",
        "params": {"length": "4-1/2 in", "bead_diameter": "8.5 mm", "bead_count": 11, "core_diameter": "5.5 mm"},
        "plastic": {"grade": "soft", "salt_wt_pct": 10},
        "require": {"joint_pull_n": 12},
        "finish": {"colour": "olive", "glitter": {"colour": "gold", "size_mm": 0.6, "per_cm3": 40}},
    },
    "barrels on a flat core": {
        "style": "jointed_worm",
        "params": {"segment": "barrel", "core_height_ratio": 0.6, "bead_length_ratio": 1.2, "bead_count": 9},
        "outputs": ["3mf", "stl"],
    },
    "cones on a taper, oval": {
        "style": "jointed_worm",
        "params": {"segment": "cone", "taper": 0.6, "bead_height_ratio": 0.9, "core_diameter": 5, "joint_blend": 1.5},
        "outputs": ["glb", "stl"],
    },
    "weak joints, asked for much": {
        "style": "jointed_worm",
        "params": {"core_diameter": 2.5, "bead_diameter": 13, "joint_blend": 0},
        "require": {"joint_pull_n": 40},
        "checks": {"thin_feature": {"limit": 3}},
        "outputs": ["stl"],
    },
    "ribs": {"style": "ribbed_worm", "outputs": ["stl", "views", "plots"]},
    "a fluorescent laminate that droops, turned on a dark ground": {
        "style": "stick_worm",
        "detail": "coarse",
        "finish": {"fluorescent": True, "glitter": {"colour": "gold"}},
        "shot": {"method": "laminate", "colours": [{"colour": "#39401c", "share_pct": 60}, {"colour": "#d9d64a"}]},
        "picture": {"ground": "dark", "pose": "drooping", "turntable": {"width": 96, "height": 96, "frames": 8}},
        "outputs": ["glb", "thumbnail", "turntable"],
    },
    "a core under clear skin": {
        "style": "stick_worm",
        "detail": "coarse",
        "finish": {"translucency": 0.9},
        "shot": {"method": "core_shot", "colours": [{"colour": "#dfe3d2"}, {"colour": "#ff4d1a"}]},
        "picture": {"ground": "transparent", "view": "side"},
        "outputs": ["glb", "thumbnail"],
    },
    "ribs by number, oval, on a taper": {
        "style": "ribbed_worm",
        "params": {"width": "9/32 in", "height": "1/4 in", "taper": 0.4, "rib_count": 30, "rib_depth": 0.6},
        "outputs": ["glb", "stl"],
    },
    "a craw, nothing but defaults": {"style": "craw"},
    "a craw with flappers and no fan": {
        "style": "craw",
        "params": {"length": 110, "claws": "flapper", "leg_pairs": 2, "tail_fan": 0, "claw_rise": 10},
        "outputs": ["stl"],
    },
    "a craw with curls": {
        "style": "craw",
        "params": {"claws": "curl", "rib_pitch": 3, "feelers": 0},
        "tolerance_mm": 0.05,
        "outputs": ["stl"],
    },
    "a stick worm, ringed": {"style": "stick_worm", "outputs": ["stl"]},
    "a grub as moulded, its tail's length looked for": {"style": "grub", "outputs": ["stl"]},
    "a grub with two tails": {
        "style": "grub",
        "params": {"tail_count": 2, "length": 80, "length_is": "laid_straight", "head": "round"},
        "outputs": ["stl"],
    },
    "a paddle tail, slotted, its paddle laid back": {
        "style": "paddle_tail",
        "params": {"paddle_angle": 108, "squareness": 2.6},
        "outputs": ["stl"],
    },
    "a leech, waved, with a sucker": {"style": "leech", "params": {"wave": 5, "sucker": 8}, "outputs": ["stl"]},
    "a tube": {"style": "tube", "outputs": ["stl"]},
    "a creature, nothing but defaults": {"style": "creature", "outputs": ["stl"]},
    "a creature with wings, paddles and legs on ribs": {
        "style": "creature",
        "params": {
            "rib_pitch": 3,
            "groups": [
                {"kind": "wing", "from": 0.2, "length": 16, "width": 8, "sweep": 30},
                {"kind": "leg", "pairs": 3, "from": 0.4, "every": 2, "length": 12, "root": 2, "rise": -12},
                {"kind": "paddle", "from": 0.9, "length": 34, "root": 3, "sweep": 68},
            ],
        },
        "tolerance_mm": 0.05,
        "outputs": ["stl"],
    },
    "a slotted worm with a tail on a jig head": {
        "style": "ribbed_worm",
        "params": {"width": 12, "height": 12, "tail": "curl", "hook_slot": "back"},
        "plastic": {"grade": "medium", "salt_wt_pct": 12},
        "rig": {"kind": "jig_head", "hook": {"gape": 11, "shank": 25}, "weights": [{"mass_g": 5}]},
        "water": {"temperature_c": 9.5, "salinity": 31},
        "outputs": ["stl"],
    },
    "a craw of several strands on a hook that is too small": {
        "style": "craw",
        "rig": {"kind": "texas", "station": 0.3, "hook": {"gape": 6, "wire": 0.5}},
        "checks": {"hook_tear_out": {"limit": 20}},
        "tolerance_mm": 0.05,
        "outputs": ["stl"],
    },
    "a shrimp": {"style": "shrimp", "outputs": ["stl"]},
    "a shrimp arched past upright, with two pairs of feelers": {
        "style": "shrimp",
        "params": {"arch": 100, "carapace_height": 14, "feelers": 2, "fan_lobes": 4},
        "tolerance_mm": 0.05,
        "outputs": ["stl"],
    },
    "a lizard with curled feet": {"style": "lizard", "params": {"foot": "curl", "foot_width": 5}, "outputs": ["stl"]},
    "a pull bar, a rig on it": {
        "style": "pull_bar",
        "params": {"gauge_width": 5.3, "thickness": 4.1, "grip_width": 21, "shoulder_radius": 9},
        "rig": {"kind": "nose", "hook": {"gape": 11, "shank": 20}},
        "outputs": ["glb", "stl", "plots"],
    },
    "a bend rod": {"style": "bend_rod", "outputs": ["stl"]},
    "the open form: ribs on a back, legs on both sides, a slot and a bore": {
        "strands": [
            {
                "name": "body",
                "kind": "trunk",
                "path": {"length": "2-1/2 in"},
                "girth": [
                    {"at": 0, "width": 8},
                    {"at": 0.4, "width": 11, "back": 6, "belly": 5},
                    {"at": 1, "width": 6},
                ],
                "section": {"lower": 2.5, "floor": 4},
                "relief": {"kind": "ribs", "pitch": 3, "depth": 0.8, "cover": "back"},
                "bands": [{"from": 0.5, "to": 0.6, "raised": 0.6}],
            },
            {
                "name": "leg",
                "kind": "leg",
                "parent": "body",
                "stations": [0.3, "30 mm"],
                "both_sides": True,
                "yaw": 70,
                "rise": -15,
                "path": {"points": [[0, 0, 0], [8, 0, 0], [15, -3, -3]]},
                "girth": [{"at": 0, "width": 2.6}, {"at": 1, "width": 1.4}],
            },
        ],
        "hollows": [
            {"kind": "slot", "strand": "body", "side": "belly", "from": 0.55, "to": 0.8, "width": 1.8, "depth": 2.5},
            {"kind": "bore", "strand": "body", "diameter": 1.5, "length": 12},
        ],
        "tolerance_mm": 0.05,
        "outputs": ["glb", "stl"],
    },
    "a master with a stub, and a bench sheet": {
        "style": "beaded_worm",
        "params": {"length": 60, "bead_diameter": 8, "bead_count": 9},
        "plastic": {"grade": "medium", "salt_wt_pct": 8},
        "print": {"process": "resin", "base": "stub", "stub_at": "tail"},
        "shot": {"method": "laminate", "colours": [{"name": "back", "share_pct": 60}, {"name": "belly"}]},
        "sheet": {"title": "Weir run", "batch": "W-1", "recipe": [{"what": "Olive", "amount": "12 drops"}]},
        "tolerance_mm": 0.1,
        "outputs": ["master", "sheet"],
    },
    "a master with a flat, of a craw": {
        "style": "craw",
        "print": {"base": "flat"},
        "tolerance_mm": 0.1,
        "outputs": ["master"],
    },
    "a mould of two cavities, with a vent in every way": {
        "style": "grub",
        "mould": {"material": "resin", "cavities": 2},
        "tolerance_mm": 0.1,
        "outputs": ["mould"],
    },
    "a mould with a core pin": {
        "style": "tube",
        "params": {"length": 60, "tentacles": 12},
        "mould": {"kind": "injected_with_core", "fastening": "clamps"},
        "tolerance_mm": 0.1,
        "outputs": ["mould"],
    },
    "an open mould in plaster, its plane searched": {
        "style": "stick_worm",
        "params": {"length": 80, "flat_belly": 0.25},
        "mould": {"kind": "open_pour", "material": "plaster"},
        "tolerance_mm": 0.1,
        "outputs": ["mould"],
    },
    "the open form: a tube on a curve, cut": {
        "strands": [
            {
                "name": "tube",
                "kind": "trunk",
                "path": {
                    "curve": [
                        {"point": [0, 0, 0], "tangent": [60, 0, 0]},
                        {"point": [66, 9, 3], "tangent": [55, 18, 6]},
                    ]
                },
                "girth": [{"at": 0, "width": 12}],
                "ends": {"tip": "flat"},
            }
        ],
        "hollows": [
            {"kind": "inside", "strand": "tube", "from": 0.25, "wall": 2},
            {"kind": "cut", "strand": "tube", "from": 0.6, "count": 6, "width": 0.8},
        ],
        "tolerance_mm": 0.1,
        "outputs": ["stl"],
    },
}

QUICK = (
    "a beaded worm, nothing but defaults",
    "cones on a taper, oval",
    "balls on a core, salted, with glitter",
    "a master with a stub, and a bench sheet",
    "a mould with a core pin",
)
"""For every run of the tests: between them every file that there is."""
