"""Every number and choice of the open form, declared once; what stands in objects and lists is put together elsewhere.

Ranges are judgement; those that hold across all styles are the same here: ribs 1.5 to 8 mm apart, nothing under 0.8 mm.
"""

from __future__ import annotations

from typing import get_args

from worker.strands.strand import HollowKind, LimbKind, TrunkKind
from worker.values.declare import choice, millimetres, share, whole

MOST_STRANDS, MOST_HOLLOWS = 40, 48
"""Strands and hollows that a request may list."""
MOST_COPIES, MOST_TAKEN_OUT = 80, 80
"""Strands and hollows that they may become, stations, sides and counts multiplied out."""
MOST_STATIONS = 40
"""Places at which one strand or hollow may be repeated."""
MOST_GIRTHS, MOST_POINTS, MOST_BANDS = 40, 24, 8
"""Girth stations, points of a path, and bands of one strand."""
LONGEST_NAME = 40

FREE_KINDS: tuple[str, ...] = get_args(TrunkKind)
"""Kinds of strands that grow out of no other."""
LIMB_KINDS: tuple[str, ...] = get_args(LimbKind)
"""Kinds of strands that have a parent."""
HOLLOW_KINDS: tuple[str, ...] = get_args(HollowKind)

FREE_KIND = choice("kind", "Kind", "A trunk, or a core that ties others together.", "trunk", FREE_KINDS)
LIMB_KIND = choice("kind", "Kind", "What it is: it sets the pull that its joints are held to.", "leg", LIMB_KINDS)
HOLLOW_KIND = choice("kind", "Kind", "What is taken out.", "slot", HOLLOW_KINDS)

COORDINATE = millimetres("coordinate", "Coordinate", "Of a point or a tangent.", 0.0, -600.0, 600.0)
PATH_LENGTH = millimetres("length", "Length", "Of a straight path, from root to tip.", 50.0, 1.0, 400.0, 0.5)
ARRIVE = millimetres(
    "arrive", "Arrive", "Length of the tangent towards the point before, if not its own.", 10.0, 0.01, 600.0
)

LEAVE = millimetres(
    "leave", "Leave", "Length of the tangent towards the next point, if not its own.", 10.0, 0.01, 600.0
)

YAW = share(
    "yaw",
    "Yaw",
    "Degrees from straight along the parent (or the bait) towards the left.",
    0.0,
    -180.0,
    180.0,
    1.0,
    "deg",
)
RISE = share("rise", "Rise", "Degrees up to the back.", 0.0, -90.0, 90.0, 1.0, "deg")
ROLL = share("roll", "Roll", "Degrees by which its section is turned, left side up.", 0.0, -180.0, 180.0, 1.0, "deg")
ROOT_BLEND = millimetres(
    "root_blend", "Root blend", "Radius of the ball that rolls around the root; 0 leaves it sharp.", 1.0, 0.0, 10.0
)

GIRTH_WIDTH = millimetres("width", "Width", "From left to right.", 8.0, 0.8, 80.0)
HOLLOW_WIDTH = millimetres("width", "Width", "From left to right.", 8.0, 0.2, 80.0)
GIRTH_BACK = millimetres("back", "Back", "Reach from the path to the back.", 4.0, 0.0, 60.0)
GIRTH_BELLY = millimetres("belly", "Belly", "Reach from the path to the belly.", 4.0, 0.0, 60.0)
GIRTH_HEIGHT = millimetres(
    "height", "Height", "Half to the back, half to the belly; in place of both. Left out: round.", 8.0, 0.8, 80.0
)

UPPER = share("upper", "Upper half", "Exponent: 2 an ellipse, larger squarer.", 2.0, 1.5, 8.0, 0.1)
LOWER = share("lower", "Lower half", "Exponent of the half below the path.", 2.0, 1.5, 8.0, 0.1)
HOLLOW_UPPER = share("upper", "Upper half", "Exponent: 2 an ellipse, larger squarer.", 2.0, 1.5, 20.0, 0.1)
HOLLOW_LOWER = share("lower", "Lower half", "Exponent of the half below the path.", 2.0, 1.5, 20.0, 0.1)
FLOOR = millimetres("floor", "Floor", "How far below the path the belly is cut level.", 3.0, 0.2, 60.0)

COVER = choice("cover", "Cover", "Which sides carry the relief.", "all", ("all", "back", "belly", "sides"))
BEAD_COUNT = whole("count", "Count", "Beads from end to end.", 10, 200, 2)
BEAD_LENGTH_RATIO = share("length_ratio", "Length ratio", "Length of a bead over its width.", 1.0, 0.5, 2.0, 0.05)
BEAD_BLEND = millimetres("blend", "Blend", "Radius of the round in each crease; 0 leaves it sharp.", 0.8, 0.0, 3.0)
SEGMENT = choice("segment", "Segment", "Shape of a bead.", "ball", ("ball", "barrel", "cone"))
CORE_WIDTH = share(
    "width_share", "Width share", "Width of the core through the beads, over their width.", 0.6, 0.1, 0.95, 0.01
)
CORE_HEIGHT = share("height_share", "Height share", "Its height over the beads' width.", 0.6, 0.1, 1.2, 0.01)
RIB_PITCH = millimetres("pitch", "Pitch", "From one rib to the next.", 3.0, 1.5, 8.0)
RIB_COUNT = whole("count", "Count", "Ribs, spread evenly, in place of the pitch.", 12, 160, 1)
RIB_DEPTH = millimetres("depth", "Depth", "How far the grooves go below the ribs.", 1.0, 0.2, 6.0)
RIB_LAND = millimetres("land", "Land", "Level part of a rib.", 1.0, 0.2, 5.0)
RIB_EDGE = millimetres("edge", "Edge radius", "Round of edges and feet.", 0.3, 0.1, 1.5, 0.05)
RIB_STEEP = choice(
    "steep",
    "Steep face",
    "Where the steep faces of the ribs look: to the nose, or to the tail as the free edges of a shrimp's plates do.",
    "nose",
    ("nose", "tail"),
)
RING_PITCH = millimetres("pitch", "Pitch", "From one ring to the next.", 2.5, 1.0, 8.0)
RING_COUNT = whole("count", "Count", "Rings, spread evenly, in place of the pitch.", 12, 160, 1)
RING_DEPTH = millimetres("depth", "Depth", "How deep the grooves are.", 0.4, 0.1, 1.5, 0.05)

END_WORDS = ("round", "flat", "blunt", "pointed")
END_LENGTH = millimetres("end", "End", "Round, flat, blunt or pointed; or the length of a rounded end.", 4.0, 0.0, 60.0)
HEAD_LENGTH = millimetres("head", "Head", "The band begins with a head: as an end is told.", 4.0, 0.0, 60.0)
RAISED = millimetres(
    "raised", "Raised", "How far the band stands above the girth: 0 is a smooth stretch.", 0.0, 0.0, 5.0
)

SLOT_SIDE = choice("side", "Side", "On which side the slot opens.", "back", ("back", "belly"))
SLOT_WIDTH = millimetres("width", "Width", "Of the slot.", 2.0, 0.8, 6.0)
SLOT_DEPTH = millimetres("depth", "Depth", "From the surface down.", 3.0, 0.5, 30.0)
BORE_DIAMETER = millimetres("diameter", "Diameter", "Of the bore.", 2.0, 0.8, 12.0)
BORE_LENGTH = millimetres("length", "Length", "How far it goes in.", 15.0, 1.0, 300.0, 0.5)
POCKET_DIAMETER = millimetres("diameter", "Diameter", "Of the pocket.", 4.0, 1.0, 20.0)
POCKET_LENGTH = millimetres("length", "Length", "Of the pocket, its round ends too.", 10.0, 1.0, 100.0)
SOCKET_DIAMETER = millimetres("diameter", "Diameter", "Of the eye that it takes.", 4.0, 1.0, 20.0)
SOCKET_DEPTH = millimetres("depth", "Depth", "From the surface to its flat floor.", 1.0, 0.2, 10.0)
AROUND = share(
    "around", "Around", "Degrees around the path, from the back by way of the left.", 90.0, -180.0, 180.0, 1.0, "deg"
)
WALL = millimetres("wall", "Wall", "Thickness that is left all around.", 2.0, 0.8, 10.0)
CUT_AROUND = share(
    "around", "Around", "Degrees of the first cut, from the back by way of the left.", 0.0, -180.0, 180.0, 1.0, "deg"
)
CUT_WIDTH = millimetres("width", "Width", "Of the gap.", 0.5, 0.2, 6.0, 0.05)
CUT_COUNT = whole("count", "Count", "Cuts spread evenly around the path.", 2, 60, 1)
EVEN_COUNT = whole("count", "Count", "How many, evenly from the first to the last.", 4, MOST_STATIONS, 2)
