"""A mesh that is bent along a line, and one whose triangles are divided so that it can be."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.picture.meshes import box, thin_rod, worm
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.picture.pose import Bend, bend_of, stations_of
from worker.picture.refine import refined
from worker.request import read_request
from worker.showing import bend_in

LENGTH, HOLD, LINKS, RADIUS = 100.0, 10.0, 300, 40.0


def arc() -> Bend:
    """Held 10 mm behind the nose, from there on an arc of 40 mm: each stretch hangs by its middle's angle."""
    places = stations_of(HOLD, LENGTH, LINKS)
    line = np.stack([places, np.zeros(len(places)), np.zeros(len(places))], axis=1)
    link = (LENGTH - HOLD) / LINKS
    return bend_of(line, [(number + 0.5) * link / RADIUS for number in range(LINKS)])


def test_a_line_of_even_bend_becomes_an_arc() -> None:
    """x = r sin(s / r), z = r cos(s / r) - r: a circle's own."""
    along = np.linspace(0.0, LENGTH - HOLD - 1, 20)
    bent = arc().bent(np.stack([HOLD + along, np.zeros(20), np.zeros(20)], axis=1))
    assert bent[:, 0] - HOLD == pytest.approx(RADIUS * np.sin(along / RADIUS), abs=0.01)
    assert bent[:, 2] == pytest.approx(RADIUS * (np.cos(along / RADIUS) - 1), abs=0.01)


def test_what_is_beside_the_line_keeps_its_distance() -> None:
    """On an arc all that is 3 mm over the line lies 43 mm from the arc's middle; what is ahead of the hold stays."""
    above = arc().bent(np.stack([np.linspace(HOLD, 99, 15), np.full(15, 2.0), np.full(15, 3.0)], axis=1))
    middle = np.array([HOLD, 2.0, -RADIUS])
    assert np.linalg.norm(above - middle, axis=1) == pytest.approx(np.full(15, RADIUS + 3), abs=0.01)
    ahead = np.array([[0.0, 1.0, 2.0], [9.0, -1.0, 0.5]])
    assert arc().bent(ahead) == pytest.approx(ahead)


def test_a_bent_bar_keeps_its_volume() -> None:
    """Pappus: a section's area by the way of its centroid, which the line is."""
    vertices, triangles = refined(*box(LENGTH, 6.0, 4.0), 1.0)
    a, b, c = (arc().bent(vertices)[triangles[:, slot]] for slot in range(3))
    assert float((a * np.cross(b, c)).sum()) / 6 == pytest.approx(LENGTH * 6 * 4, rel=1e-3)


def test_what_is_beyond_the_tip_goes_straight_on() -> None:
    beyond = arc().bent(np.array([[LENGTH, 0, 0], [LENGTH + 10, 0, 0], [LENGTH + 20, 0, 0]]))
    first, second = np.diff(beyond, axis=0)
    assert first == pytest.approx(second) and np.linalg.norm(first) == pytest.approx(10)


@pytest.mark.parametrize("grade", ["soft", "firm"])
def test_a_bait_hangs_at_its_tip_as_its_figure_says(grade: str) -> None:
    request = read_request({"style": "stick_worm", "plastic": {"grade": grade}})
    bend = bend_in(Subject(request))
    assert bend is not None
    told = estimate(request)["metrics"]
    ahead, behind = bend.bent(np.array([[told["length_mm"] + 1, 0, 0], [told["length_mm"] + 2, 0, 0]]))
    fall = math.degrees(math.atan2(ahead[2] - behind[2], behind[0] - ahead[0]))
    assert fall == pytest.approx(told["droop_tip_deg"]["air"], abs=0.01)
    held = bend.bent(np.array([[told["hold_station_mm"], 0, 0]]))
    assert held[0] == pytest.approx([told["hold_station_mm"], 0, 0])


def test_a_line_on_the_way_back_to_the_nose_is_bent_no_further() -> None:
    turn = np.linspace(0, 1.4 * math.pi, 41)
    line = np.stack([20 * np.sin(turn), np.zeros(41), 20 * (np.cos(turn) - 1)], axis=1)
    bend = bend_of(line, [0.05 * number for number in range(10)])
    assert bend.before[-1, 0] == line[:, 0].max()
    assert (np.diff(bend.before[:, 0]) > 0).all()


def test_beads_that_part_hang_as_no_one() -> None:
    parted = read_request({"style": "beaded_worm", "params": {"bead_count": 8, "joint_blend": 0}})
    assert bend_in(Subject(parted)) is None


@pytest.mark.parametrize("mesh", [box(30, 4, 2), thin_rod(), worm()], ids=["box", "rod", "worm"])
def test_dividing_moves_nothing_and_opens_nothing(mesh: tuple) -> None:  # type: ignore[type-arg]
    vertices, triangles = refined(*mesh, 0.9)
    start, end = triangles.ravel(), np.roll(triangles, -1, axis=1).ravel()
    assert np.abs(vertices[start, 0] - vertices[end, 0]).max() <= 0.9
    directed = set(zip(start.tolist(), end.tolist(), strict=True))
    assert len(directed) == triangles.size and all((b, a) in directed for a, b in directed)
    for measure in (volume, surface):
        assert measure(vertices, triangles) == pytest.approx(measure(*mesh), rel=1e-9)


def volume(vertices: np.ndarray, triangles: np.ndarray) -> float:  # type: ignore[type-arg]
    a, b, c = (vertices[triangles[:, slot]] for slot in range(3))
    return float((a * np.cross(b, c)).sum()) / 6


def surface(vertices: np.ndarray, triangles: np.ndarray) -> float:  # type: ignore[type-arg]
    a, b, c = (vertices[triangles[:, slot]] for slot in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2
