"""The volume of a mesh against points that lie inside of the strands it was made from, counted.

For styles of many bent strands, of which no kernel has the exact form: a Sobol sequence (Joe and Kuo's directions, from
SciPy's qmc) of two million points in the bait's box, each asked whether it lies in any strand. No ring, no triangle and
no union takes part. Flares are left out on both sides. Straight styles have exact forms and the kernel in tests/styles.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import qmc

from worker.checks.subject import Subject
from worker.measures.strand.places import boxes_of, outside_all
from worker.request import read_request
from worker.solid.join import joined

POINTS_AS_POWER = 21


@pytest.mark.parametrize("style", ["craw", "creature", "shrimp", "lizard", "grub"])
def test_a_mesh_holds_what_its_strands_hold(style: str) -> None:
    subject = Subject(read_request({"style": style}))
    strands = tuple(replace(strand, root=None) for strand in subject.strands)
    solid = joined(strands, 0.01)
    boxes = boxes_of(strands)
    low, high = (np.stack(part) for part in zip(*boxes.values(), strict=True))
    least, size = low.min(axis=0), high.max(axis=0) - low.min(axis=0)
    points = least + size * qmc.Sobol(3, rng=np.random.default_rng(4)).random_base2(POINTS_AS_POWER)
    share = 1 - float(outside_all(points, strands, boxes).mean())
    assert solid.volume == pytest.approx(share * float(size.prod()), rel=1e-3)
