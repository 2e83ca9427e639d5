"""What a search finds against what can be written down: within 0.1 %."""

from __future__ import annotations

import math

import pytest

from tests.fit.fitted import fitted
from worker.checks.subject import Subject
from worker.request import read_request

ANY = {"verdicts": "any"}


@pytest.mark.parametrize(
    ("count", "diameter", "neck"), [(18, 9.0, 6.9), (16, 9.0, 5.2), (15, 9.0, 4.5), (24, 8.0, 6.6), (30, 6.0, 5.0)]
)
def test_the_blend_of_a_wanted_neck(count: int, diameter: float, neck: float) -> None:
    """rho = (n^2 + d^2/4 - R^2) / (2 (R - n)): a ball of radius rho rests on two balls of radius R, d apart.

    Pythagoras on (R + rho)^2 = (d/2)^2 + (n + rho)^2, n the neck's radius.
    """
    ball, radius, pitch = diameter / 2, neck / 2, (127 - diameter) / (count - 1)
    blend = (radius**2 + pitch**2 / 4 - ball**2) / (2 * (ball - radius))
    document = fitted(
        style="beaded_worm",
        params={"length": 127, "bead_diameter": diameter, "bead_count": count},
        free={"joint_blend": {}},
        require={"neck_mm": {"equal": neck}, **ANY},
    )
    assert document["outcome"] == "met"
    assert document["best"]["free"]["joint_blend"] == pytest.approx(blend, rel=1e-3)


@pytest.mark.parametrize(("neck", "blend"), [(6.0, 0.8), (5.0, 0.4), (7.5, 1.5)])
def test_the_pitch_of_a_wanted_neck(neck: float, blend: float) -> None:
    """d = 2 sqrt((R + rho)^2 - (n + rho)^2), the same triangle solved for the pitch; the length follows from it."""
    count, ball = 16, 4.5
    pitch = 2 * math.sqrt((ball + blend) ** 2 - (neck / 2 + blend) ** 2)
    document = fitted(
        style="beaded_worm",
        params={"bead_diameter": 2 * ball, "bead_count": count, "joint_blend": blend},
        free={"length": {"minimum": 80, "maximum": 160}},
        require={"neck_mm": {"equal": neck}, **ANY},
    )
    assert document["best"]["free"]["length"] == pytest.approx(pitch * (count - 1) + 2 * ball, rel=1e-3)


@pytest.mark.parametrize("pull", [12.0, 18.0, 25.0])
def test_the_core_of_a_wanted_pull(pull: float) -> None:
    """pull = strength pi c^2 / 4 / Kt, Kt of a shoulder with a fillet in tension: Roark, table 17.1 (from memory).

    Depth (D - c) / 2; radius: the blend and half a millimetre (Neuber; the half is judgement). Soft plastic: 1.5 MPa.
    """
    bead, blend = 9.0, 0.8

    def held(core: float) -> float:
        depth, radius = (bead - core) / 2, blend + 0.5
        steep, x = depth / radius, 2 * depth / bead
        shallow = ((0.927, 1.149, -0.086), (0.011, -3.029, 0.948), (-0.304, 3.979, -1.737), (0.366, -2.098, 0.875))
        deep = ((1.225, 0.831, -0.010), (-1.831, -0.318, -0.049), (2.236, -0.522, 0.176), (-0.630, 0.009, -0.117))
        rows = shallow if steep <= 2 else deep
        factor = sum((a + b * math.sqrt(steep) + c * steep) * x**k for k, (a, b, c) in enumerate(rows))
        return 1.5 * math.pi * core * core / 4 / factor

    low, high = 2.0, 8.0
    for _ in range(60):
        low, high = ((low + high) / 2, high) if held((low + high) / 2) < pull else (low, (low + high) / 2)
    document = fitted(
        style="jointed_worm",
        params={"bead_diameter": bead, "joint_blend": blend, "bead_count": 8},
        free={"core_diameter": {"minimum": 3, "maximum": 7.5}},
        require={"trunk_pull_n": {"equal": pull}, **ANY},
    )
    assert document["best"]["free"]["core_diameter"] == pytest.approx(low, rel=1e-3)


@pytest.mark.parametrize("overlap", [0.9, 2.1, 3.3])
def test_the_offset_of_lobes_for_a_wanted_overlap(overlap: float) -> None:
    """Where a lobe's floor runs `overlap` deep into the core: y = core/2 + floor - overlap, floor and core level.

    Without taper both are as wide all along, and the lobe's path is as far to the side as they touch, less the overlap.
    """
    document = fitted(
        style="craw",
        params={"body_taper": 1, "leg_pairs": 0, "feelers": 0},
        free={"lobe_overlap": {}},
        require={"lobes_touching": {"from": 0.25, "to": 0.35, "at_least": overlap}, **ANY},
        evaluations=40,
        goal={"nearest": {"lobe_overlap": 0.5}},
    )
    found = document["best"]["free"]["lobe_overlap"]
    assert found == pytest.approx(overlap, rel=1e-3)
    trunk = {strand.name: strand for strand in Subject(read_request(document["best"]["request"])).trunk_strands}
    lobe, params = trunk["left lobe"], document["best"]["request"]["params"]
    half = (params["body_width"] / 2 - params["core_width"] / 2 + overlap + params["rib_depth"]) / 2
    offset = params["core_width"] / 2 + half - params["rib_depth"] - overlap
    assert lobe.path.start[1] == pytest.approx(offset, rel=1e-3)
