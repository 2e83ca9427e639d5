"""Where does it tear first? Finite elements against the joint that the product calls weakest, by extremity.

Linear elasticity in small strain on cubic hexahedra (scikit-fem), each extremity of six baits pulled by itself, in line
with the path at the joint: the highest principal stress between where the bait is pulled and where it is held has to be
at the joint that has the least pull of all on the way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.spatial import KDTree

from tests.requires import requires
from tests.stress.extremities import HELD, centre_line, extremities, joint_middles, joint_ways
from tests.stress.voxels import Cells, cells_of
from worker.checks.subject import Subject
from worker.request import read_request
from worker.solid.join import joined

pytestmark = requires("elements")

CELL = 0.5
"""mm: a feeler of 1.4 mm has three cells across."""
AT_THE_JOINT = 0.9
"""Of the highest stress anywhere, what has to stand at the joint; the cells' steps leave a tenth open (judgement)."""
ALIKE = 1.1
"""Joints whose pulls are as near as this to the weakest one's are weakest with it."""
BENT: dict[str, tuple[str, ...]] = {
    "craw": ("left claw inner finger", "left claw outer finger"),
    "creature": ("left curl", "left flapper"),
}
"""Thin straps that curve away from their joint: pulled from far aside they bend, and bending stands highest in the
strap itself. A soft bait swings into line first, which small strain cannot tell: their figures are stated, no more.
"""
BAITS: dict[str, dict[str, Any]] = {
    "beaded worm": {"style": "beaded_worm"},
    "jointed worm": {"style": "jointed_worm"},
    "craw": {"style": "craw"},
    "lizard": {"style": "lizard"},
    "creature": {"style": "creature"},
    "paddle tail": {"style": "paddle_tail"},
}


def test_a_rod_is_pulled_as_hooke_says() -> None:
    """A square rod of 4 x 4 mm, its section known to the grid: stress 1/16 away from both ends (force over area)."""
    inside = np.zeros((42, 10, 10), dtype=bool)
    inside[1:41, 1:9, 1:9] = True
    from tests.stress.elastic import Elastic

    cells = Cells(0.5, np.zeros(3), inside)
    x = cells.middle[:, 0]
    stress = Elastic(cells, x < 1).highest_principal(x > 19.5, np.array([1.0, 0, 0]))
    assert stress[(x > 8) & (x < 13)] == pytest.approx(1 / 16, rel=0.01)


@pytest.mark.proof
@pytest.mark.parametrize("name", BAITS)
def test_it_stands_highest_where_the_weakest_joint_is(name: str, proof_row: Callable[..., None]) -> None:
    from tests.stress.elastic import Elastic

    subject = Subject(read_request(BAITS[name]))
    solid = joined(subject.strands, 0.05, subject.hollows)
    cells = cells_of(solid.vertices, solid.triangles, CELL)
    assert cells.inside.sum() * CELL**3 == pytest.approx(solid.volume, rel=0.01)
    middle, length = cells.middle, float(solid.vertices[:, 0].max())
    held = KDTree(centre_line(subject, length, HELD)).query(middle)[0] < 2
    model, joints = Elastic(cells, held), subject.joints
    places, ways = joint_middles(subject), joint_ways(subject)
    shares = {}
    for part in extremities(subject, middle, length):
        weakest = min(part.joints, key=lambda joint: float(joints.pull[joint]))
        stress = model.highest_principal(part.pulled, ways[weakest])
        between = ~model.beside(part.pulled | held, 2)
        near = np.zeros(len(middle), dtype=bool)
        for joint in part.joints:
            if joints.pull[joint] < ALIKE * joints.pull[weakest]:
                far = np.sqrt(((middle - places[joint]) ** 2).sum(axis=1))
                near |= far < joints.diameter[joint] / 2 + 2 * CELL
        shares[part.name] = float(stress[between & near].max() / stress[between].max())
    assert shares
    for part_name, share in shares.items():
        bar = "stated: bent by its pull" if part_name in BENT.get(name, ()) else f"from {AT_THE_JOINT}"
        proof_row(f"{name}, {part_name}: stress at the weakest joint over the highest", share, bar)
    held_to = {part_name: share for part_name, share in shares.items() if part_name not in BENT.get(name, ())}
    assert held_to and min(held_to.values()) >= AT_THE_JOINT, shares
