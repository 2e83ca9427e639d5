"""Flares as arithmetic tells them against what they add to the mesh, and how few balls are asked for them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.property.flares import without_flares
from worker.checks.subject import Subject
from worker.measures.strand import flare_balls
from worker.measures.strand.flare_size import flare_volume, flares_of
from worker.request import read_request
from worker.solid.join import joined
from worker.strands.flare import Flare, rolled
from worker.strands.strand import Strand

Body = dict[str, Any]
TOLERANCE = 0.05
RIBS = {"kind": "ribs", "from": 0.1, "to": 0.85, "pitch": 3.2, "depth": 0.9, "edge": 0.25, "cover": "all"}
TAPERED: list[Body] = [{"at": 0, "width": 8}, {"at": 0.4, "width": 12}, {"at": 1, "width": 7}]


def legs(count: int, yaw: float, width: float, blend: float, girth: list[Body], **trunk: Any) -> Subject:
    """Pairs of legs in a row along a trunk 100 mm long."""
    body = {"name": "body", "kind": "trunk", "path": {"length": 100}, "girth": girth, **trunk}
    leg = {
        "name": "leg",
        "kind": "leg",
        "parent": "body",
        "path": {"length": 24},
        "girth": [{"at": 0, "width": width}, {"at": 1, "width": 1.6}],
        "root_blend": blend,
        "yaw": yaw,
        "both_sides": True,
        "stations": [round(0.1 + 0.65 * number / (count - 1), 4) for number in range(count)],
    }
    return Subject(read_request({"strands": [body, leg]}))


@pytest.mark.parametrize("relief", [{}, {"relief": RIBS}], ids=["smooth", "ribbed"])
@pytest.mark.parametrize(("yaw", "width"), [(46, 3), (46, 4), (50, 3), (50, 4)])
def test_legs_that_lean_are_told_within_a_hundredth(yaw: float, width: float, relief: Body) -> None:
    """Their balls give way by a fifth or two; told with the whole ball, these baits came out up to 2.1 % too large."""
    subject = legs(5, yaw, width, 2.5, [{"at": 0, "width": 10}], **relief)
    built = joined(subject.strands, TOLERANCE, subject.hollows).volume
    assert subject.size.volume == pytest.approx(built, rel=0.01)


def test_a_ball_thicker_than_the_parent_is_told_as_it_is_built() -> None:
    """On a rod 4 mm thick a ball of 3 mm counts as one of 2 mm."""
    subject = legs(3, 90, 1.2, 3.0, [{"at": 0, "width": 4}])
    built = joined(subject.strands, 0.02).volume - without_flares(subject, 0.02).volume
    assert sum(flare_volume(limb) for limb in subject.limbs) == pytest.approx(built, rel=0.16)


def asked(monkeypatch: pytest.MonkeyPatch, limbs: tuple[Strand, ...]) -> int:
    """How many balls are asked to tell the flares of all these limbs together."""
    balls: list[float] = []

    def spied(strand: Strand, around: int) -> Flare | None:
        flare = rolled(strand, around)
        balls.append(0.0 if flare is None else flare.radius)
        return flare

    monkeypatch.setattr(flare_balls, "rolled", spied)
    flares_of(limbs)
    return len(balls)


def test_legs_alike_ask_one_ball(monkeypatch: pytest.MonkeyPatch) -> None:
    subject = legs(28, 46, 2.6, 1.5, [{"at": 0, "width": 10}])
    left = tuple(limb for limb in subject.limbs if limb.name.startswith("left"))
    assert len(left) == 28
    assert asked(monkeypatch, left) == 1


def test_legs_that_are_all_unlike_ask_no_more_than_a_few(monkeypatch: pytest.MonkeyPatch) -> None:
    left = [limb for limb in legs(28, 46, 2.6, 1.5, TAPERED).limbs if limb.name.startswith("left")]
    unlike = tuple(
        replace(limb, root=replace(limb.root, blend=0.3 + 0.08 * number))
        for number, limb in enumerate(left)
        if limb.root is not None
    )
    assert asked(monkeypatch, unlike) == flare_balls.MOST


def test_of_legs_of_one_shape_the_answer_is_that_of_each(monkeypatch: pytest.MonkeyPatch) -> None:
    """Along a tapered trunk no two legs' roots are quite the same."""
    subject = legs(12, 40, 2.6, 1.5, TAPERED, relief=RIBS)
    together = [float(parts.volume.sum()) for parts in flares_of(subject.limbs)]
    monkeypatch.setattr(flare_balls, "ALIKE", -1.0)
    monkeypatch.setattr(flare_balls, "MOST", len(subject.limbs))
    each = [float(parts.volume.sum()) for parts in flares_of(subject.limbs)]
    assert sum(together) == pytest.approx(sum(each), rel=0.1)
