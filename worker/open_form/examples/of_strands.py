"""Worked examples of strands."""

from __future__ import annotations

from worker.open_form.examples.example import example

OF_STRANDS = (
    example(
        "straight",
        "Plug",
        "A straight path and a girth told at four stations, one of them a length from the root; the back is higher "
        "than the belly.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": "3 in"},
            "girth": [
                {"at": 0, "width": 6},
                {"at": "20 mm", "width": 11, "back": 7, "belly": 5},
                {"at": 0.6, "width": 10, "back": 6, "belly": 4.5},
                {"at": 1, "width": 4, "height": 5},
            ],
        },
    ),
    example(
        "ends",
        "Bullet",
        "Ends by a word or by the length of the round: a pointed nose three times as long as half its height, a flat "
        "tail would be 0.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 60},
            "girth": [{"at": 0, "width": 9}],
            "ends": {"root": "pointed", "tip": "2.5 mm"},
        },
    ),
    example(
        "section",
        "Slab",
        "A squarer back, a belly of an ellipse that is cut level 2.5 mm below the path.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 70},
            "girth": [{"at": 0, "width": 12, "height": 8}, {"at": 1, "width": 7, "height": 6}],
            "section": {"upper": 3, "lower": 2, "floor": 2.5},
        },
    ),
    example(
        "points",
        "Snake",
        "A path through points, ahead, to the left and to the back, joined smoothly.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"points": [[0, 0, 0], [25, 3, 0], [50, -3, 0], [75, 3, 0], [100, 0, 0]]},
            "girth": [{"at": 0, "width": 7}, {"at": 1, "width": 4}],
        },
    ),
    example(
        "curve",
        "Hooked tail",
        "A tail on a cubic Hermite curve: two points and two tangents, whose lengths say how straight on it goes. It "
        "leaves along the trunk and ends to the left.",
        {"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": [{"at": 0, "width": 8}]},
        {
            "name": "tail",
            "kind": "tail",
            "parent": "body",
            "stations": [0.95],
            "path": {
                "curve": [
                    {"point": [0, 0, 0], "tangent": [35, 0, 0]},
                    {"point": [24, 16, 0], "tangent": [0, 35, 0]},
                ]
            },
            "girth": [{"at": 0, "width": 3, "height": 6}, {"at": 1, "width": 1.2, "height": 9}],
            "root_blend": 1.5,
        },
    ),
    example(
        "beads",
        "Bead chain",
        "Beads along a tapering girth on a core of their own; they stand so that all overlap alike.",
        {
            "name": "chain",
            "kind": "trunk",
            "path": {"length": 110},
            "girth": [{"at": 0, "width": 9}, {"at": 1, "width": 6}],
            "relief": {"kind": "beads", "count": 14, "blend": 1, "core": {"width_share": 0.7, "height_share": 0.7}},
        },
    ),
    example(
        "ribs",
        "Ribbed back",
        "Ribs from a fifth to four fifths of the length on the back alone; the belly stays smooth.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 90},
            "girth": [{"at": 0, "width": 9}, {"at": 0.4, "width": 11}, {"at": 1, "width": 6}],
            "relief": {"kind": "ribs", "from": 0.2, "to": 0.8, "pitch": 3, "depth": 1, "cover": "back"},
        },
    ),
    example(
        "plates",
        "Plated back",
        "Ribs with their steep faces to the tail: each stands over the next, as a shrimp's plates do, on a path that "
        "bends down.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"points": [[0, 0, 0], [25, 0, 0], [50, 0, -7], [70, 0, -20]]},
            "girth": [
                {"at": 0, "width": 8, "height": 10},
                {"at": 0.3, "width": 9, "height": 11},
                {"at": 1, "width": 5},
            ],
            "relief": {"kind": "ribs", "from": 0.35, "to": 0.96, "count": 7, "depth": 0.6, "land": 2, "steep": "tail"},
        },
    ),
    example(
        "rings",
        "Ringed stick",
        "Twenty shallow rings, spread evenly over a stretch.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 120},
            "girth": [{"at": 0, "width": 7}, {"at": 0.45, "width": 10}, {"at": 1, "width": 5}],
            "relief": {"kind": "rings", "from": 0.1, "to": 0.5, "count": 20, "depth": 0.4},
        },
    ),
    example(
        "bands",
        "Collared worm",
        "A band raised by 0.9 mm is an egg band; a band that is not raised, with a head, is a smooth nose before the "
        "ribs.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 120},
            "girth": [{"at": 0, "width": 8}, {"at": 1, "width": 6}],
            "relief": {"kind": "ribs", "from": 0.05, "to": 0.9, "pitch": 3, "depth": 0.8},
            "bands": [{"from": 0, "to": 0.15, "head": "blunt"}, {"from": 0.3, "to": "50 mm", "raised": 0.9}],
        },
    ),
    example(
        "parent",
        "Six legs",
        "Three stations and both sides make six legs of one; each leaves 70 degrees outward and 15 down, and flares "
        "into the trunk as a ball of 1 mm would.",
        {
            "name": "body",
            "kind": "trunk",
            "path": {"length": 80},
            "girth": [{"at": 0, "width": 8}, {"at": 0.5, "width": 12}, {"at": 1, "width": 7}],
        },
        {
            "name": "leg",
            "kind": "leg",
            "parent": "body",
            "stations": {"from": 0.35, "to": 0.65, "count": 3},
            "both_sides": True,
            "yaw": 70,
            "rise": -15,
            "path": {"length": 18},
            "girth": [{"at": 0, "width": 2.6}, {"at": 1, "width": 1.4}],
            "root_blend": 1,
        },
    ),
    example(
        "copies",
        "Two lobes, four fins",
        "A lobe on both sides of a core, and fins that grow out of it on each: who has a parent with copies is copied "
        "with it.",
        {
            "name": "core",
            "kind": "core",
            "path": {"length": 60},
            "girth": [{"at": 0, "width": 5, "height": 6}],
        },
        {
            "name": "lobe",
            "kind": "trunk",
            "start": [2, 4, 0],
            "both_sides": True,
            "path": {"length": 56},
            "girth": [{"at": 0, "width": 6}, {"at": 0.6, "width": 9}, {"at": 1, "width": 6}],
        },
        {
            "name": "fin",
            "kind": "fin",
            "parent": "lobe",
            "stations": [0.4, 0.75],
            "yaw": 60,
            "roll": 8,
            "path": {"length": 18},
            "girth": [
                {"at": 0, "width": 5, "height": 2},
                {"at": 0.7, "width": 9, "height": 1.6},
                {"at": 1, "width": 7, "height": 1.2},
            ],
        },
    ),
)
