"""The tube: hollow as far and as thick as asked, its tentacles told apart, and its volume against exact bodies."""

from __future__ import annotations

import math

import pytest

from tests.requires import requires
from tests.styles.baits import Array, built, faults, section, subject_of
from worker.estimate import estimate
from worker.request import read_request

OUTER, WALL, LENGTH = 14.0, 1.8, 90.0
INNER = OUTER / 2 - WALL


def _area(polygon: Array) -> float:
    y, z = polygon.T
    return float((y * (z[[*range(1, len(z)), 0]]) - (y[[*range(1, len(y)), 0]]) * z).sum() / 2)


def _strip(radius: float, half: float) -> float:
    """What a cut takes out of a disk on one side of its middle: the area under the circle between -half and half."""
    return half * math.sqrt(radius**2 - half**2) + radius**2 * math.asin(half / radius)


def test_it_is_as_long_and_as_wide_as_asked() -> None:
    solid = built("tube")
    assert solid.extent[0] == pytest.approx(LENGTH, abs=0.02)
    assert solid.extent[1] == pytest.approx(OUTER, abs=0.021)
    assert len(solid.parts) == 1
    assert solid.through_holes == 0


def test_its_head_is_solid_its_middle_a_ring_and_its_rear_tentacles() -> None:
    solid = built("tube")
    assert [round(_area(part)) for part in section(solid, 0.14 * LENGTH)] == [round(math.pi * 49)]
    ring = sorted(_area(part) for part in section(solid, 0.45 * LENGTH))
    assert ring == [pytest.approx(-math.pi * INNER**2, rel=2e-3), pytest.approx(math.pi * 49, rel=2e-3)]
    tentacles = [_area(part) for part in section(solid, 0.8 * LENGTH)]
    assert len(tentacles) == 24
    each = math.pi * (49 - INNER**2) / 24 - _strip(7, 0.2) + _strip(INNER, 0.2)
    for area in tentacles:
        assert area == pytest.approx(each, rel=0.01)


def test_its_volume_is_the_difference_of_exact_bodies() -> None:
    """A rod with a round end, less the same inside it, less flat cuts through the wall."""
    head, cut = 0.15 * LENGTH, 0.45 * LENGTH

    def rod(radius: float, long: float) -> float:
        return math.pi * radius**2 * (long - radius) + 2 / 3 * math.pi * radius**3

    exact = rod(7, LENGTH) - rod(INNER, LENGTH - head) - 24 * (cut - 0.1) * (_strip(7, 0.2) - _strip(INNER, 0.2))
    assert built("tube").volume == pytest.approx(exact, rel=1e-3)


@requires("kernel")
def test_its_volume_is_the_kernels() -> None:
    """The same bodies in OpenCASCADE: cylinders, balls and boxes, cut from one another."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Trsf

    from tests.outside.kernel import ball, fused, rod, volume

    count, cut = 12, 1.0
    solid = built("tube", tentacles=count, cut_width=cut)
    shape = BRepAlgoAPI_Cut(
        fused([ball(7, 7), rod(7, LENGTH, 7)]),
        fused([ball(0.15 * LENGTH + INNER, INNER), rod(0.15 * LENGTH + INNER, LENGTH + 1, INNER)]),
    ).Shape()
    for place in range(count):
        box = BRepPrimAPI_MakeBox(gp_Pnt(0.55 * LENGTH, -cut / 2, 3.0), gp_Pnt(LENGTH + 1, cut / 2, 9.0)).Shape()
        turn = gp_Trsf()
        turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0)), 2 * math.pi * (place + 0.5) / count)
        shape = BRepAlgoAPI_Cut(shape, BRepBuilderAPI_Transform(box, turn).Shape()).Shape()
    assert solid.volume == pytest.approx(volume(shape), rel=1e-3)


def test_a_tentacle_is_told_with_its_thickness_and_its_pull() -> None:
    """Inscribed ball between two cuts and the outer wall; the strength of soft plastic times the area, 0.6 N asked."""
    answer = estimate(read_request({"style": "tube"}))
    sine = math.sin(math.pi / 24)
    across = 2 * (7 * sine - 0.2) / (1 + sine)
    assert answer["metrics"]["thinnest_mm"]["across"] == pytest.approx(across, rel=1e-5)
    told = {joint["strand"]: joint for joint in answer["metrics"]["joints"]}
    each = math.pi * (49 - INNER**2) / 24 - _strip(7, 0.2) + _strip(INNER, 0.2)
    assert told["tentacle"]["area_mm2"] == pytest.approx(each, rel=1e-5)
    assert told["tentacle"]["limit_n"] == 0.6
    assert told["tentacle"]["pull_n"] == pytest.approx(1.5 * each / told["tentacle"]["notch_factor"], rel=1e-4)
    assert told["wall"]["area_mm2"] == pytest.approx(math.pi * (49 - INNER**2), rel=1e-5)


def test_what_cannot_be() -> None:
    assert faults("tube", outer=7, wall=3)["/params/wall"]["maximum"] == 2.5
    assert faults("tube", tentacles=40)["/params/tentacles"]["maximum"] == 34  # 0.816 mm; 35 are 0.784
    assert "/params/tentacle_length" in faults("tube", solid_head=40, tentacle_length=60)
    most = faults("tube", solid_head=40, tentacle_length=60)["/params/tentacle_length"]["maximum"]
    assert faults("tube", solid_head=40, tentacle_length=most) == {}
    assert subject_of("tube", outer=7, wall=1.2, tentacles=12, cut_width=0.2).thinnest.across >= 0.8
