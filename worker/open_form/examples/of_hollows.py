"""Worked examples of hollows."""

from __future__ import annotations

from worker.open_form.examples.example import example

_STICK = {
    "name": "body",
    "kind": "trunk",
    "path": {"length": 90},
    "girth": [{"at": 0, "width": 9}, {"at": 0.4, "width": 12}, {"at": 1, "width": 8}],
}

OF_HOLLOWS = (
    example(
        "slot",
        "Slotted stick",
        "A hook slot along the belly, its floor 4 mm below the surface all along.",
        _STICK,
        hollows=[
            {"kind": "slot", "strand": "body", "side": "belly", "from": 0.3, "to": 0.6, "width": 2, "depth": 4},
        ],
    ),
    example(
        "bore",
        "Bored stick",
        "A jig bore in from the nose, a weight bore in from the tail end, and a line bore across: 90 degrees to the "
        "left from 10 mm to the right of the path.",
        _STICK,
        hollows=[
            {"kind": "bore", "strand": "body", "diameter": 1.5, "length": 20},
            {"kind": "bore", "strand": "body", "stations": [1], "diameter": 3, "length": 15},
            {
                "kind": "bore",
                "strand": "body",
                "stations": ["12 mm"],
                "start": [0, -10, 0],
                "yaw": 90,
                "diameter": 1.2,
                "length": 20,
            },
        ],
    ),
    example(
        "pocket",
        "Rattling stick",
        "A closed pocket for a rattle, its middle on the path.",
        _STICK,
        hollows=[{"kind": "pocket", "strand": "body", "stations": [0.55], "diameter": 4.5, "length": 12}],
    ),
    example(
        "socket",
        "Stick with eyes",
        "Eye sockets on both sides, 65 degrees down from the back, with flat floors 1.2 mm deep.",
        _STICK,
        hollows=[
            {
                "kind": "socket",
                "strand": "body",
                "stations": ["11 mm"],
                "around": 65,
                "both_sides": True,
                "diameter": 4,
                "depth": 1.2,
            }
        ],
    ),
    example(
        "inside_and_cut",
        "Open tube",
        "A tube's inside leaves a wall of 2 mm behind a solid head and opens at the tail; ten cuts make tentacles of "
        "the wall.",
        {
            "name": "tube",
            "kind": "trunk",
            "path": {"length": 80},
            "girth": [{"at": 0, "width": 14}],
            "ends": {"tip": "flat"},
        },
        hollows=[
            {"kind": "inside", "strand": "tube", "from": 0.2, "to": 1, "wall": 2},
            {"kind": "cut", "strand": "tube", "from": 0.6, "to": 1, "count": 10, "width": 0.6},
        ],
    ),
    example(
        "hollow_as_strand",
        "Scooped stick",
        "Any hollow may be told as the strand that is taken out: here a scoop across the back, on a curve of its own.",
        _STICK,
        hollows=[
            {
                "kind": "pocket",
                "strand": "body",
                "stations": [0.5],
                "path": {"points": [[-12, 0, 8], [0, 0, 4], [12, 0, 8]]},
                "girth": [{"at": 0, "width": 5}],
            }
        ],
    ),
)
