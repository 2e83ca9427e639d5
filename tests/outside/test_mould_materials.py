"""Figures of mould materials against published ones, and the rule for the cavity's wall."""

from __future__ import annotations

import math

import pytest

from worker.values.mould_materials import (
    MOULD_MATERIALS,
    PLASTIC_EFFUSIVITY,
    effusivity,
    wall_temperature,
)


def test_effusivities_of_metal_and_of_plastic() -> None:
    """Root of k rho c. Flexible PVC: 0.17 W/mK, 1400 J/kgK (generic figures of plasticised PVC), 1020 kg/m3."""
    assert pytest.approx(math.sqrt(0.17 * 1020 * 1400), rel=1e-9) == PLASTIC_EFFUSIVITY
    # 6061: 167 W/mK, 2700 kg/m3, 896 J/kgK (handbook values, from memory): about 20 000.
    assert MOULD_MATERIALS["aluminium"].effusivity == pytest.approx(2.01e4, rel=0.01)
    assert effusivity(4, 9, 1) == 6


def test_the_wall_lies_between_mould_and_plastic_nearer_to_the_better_conductor() -> None:
    """Contact of two half-spaces, (e1 T1 + e2 T2) / (e1 + e2): Carslaw and Jaeger 2.8, from memory."""
    metal = wall_temperature(MOULD_MATERIALS["aluminium"], 25, 175)
    assert 25 < metal < 30
    for name in ("silicone", "plaster", "resin"):
        assert metal < wall_temperature(MOULD_MATERIALS[name], 25, 175) < 100
    assert wall_temperature(MOULD_MATERIALS["resin"], 60, 60) == pytest.approx(60)


def test_vents_undercuts_and_deflection_are_what_is_published_or_practised() -> None:
    for material in MOULD_MATERIALS.values():
        # 0.1 to 0.4 mm at tips by hand: common practice, no source.
        assert 0.1 <= material.vent.typical <= 0.4
        for each in (material.vent, material.undercut, material.wall, material.least_fill, material.shrinkage):
            assert each.low <= each.typical <= each.high
            assert each.source
        if material.name in ("aluminium", "resin"):
            # Soft parts are stripped over undercuts of 5 to 20 % of the local width: common practice, no source.
            assert (material.undercut.low, material.undercut.high) == (0.05, 0.20)
    # High-temperature photopolymers after thermal cure, 120 to 238 C at 0.45 MPa: from memory.
    resin = MOULD_MATERIALS["resin"].deflection
    assert resin is not None
    assert (resin.low, resin.high) == (120, 238)
    # Smallest that fills: 1.2 mm in aluminium, 0.8 in silicone or resin (common practice, no source).
    assert [MOULD_MATERIALS[name].least_fill.typical for name in ("aluminium", "silicone", "resin")] == [1.2, 0.8, 0.8]
