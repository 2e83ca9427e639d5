"""Density of water against published tables, at one atmosphere.

Pure water IAPWS-95, sea water of practical salinity 35 by EOS-80 and by TEOS-10 (S_A 35.16504): computed with open
libraries (iapws, seawater, gsw). Check values of EOS-80: Fofonoff and Millard, UNESCO Technical Papers in Marine
Science 44 (1983), whose temperatures are of the scale IPTS-68 (digits from memory, reproduced with a library). The
trap: an ITTC table has 1026.021 kg/m3 for sea water of 15 C, which counts one atmosphere twice; at the surface it is
1025.976.
"""

from __future__ import annotations

import pytest

from worker.measures.water.density import IPTS_68_OVER_ITS_90, water_density

# C; kg/m3: pure IAPWS-95; sea S = 35 EOS-80; TEOS-10.
TABLE = [
    (0.01, 999.8438, 1028.1058, 1028.1065),
    (4, 999.9749, 1027.7862, 1027.7865),
    (5, 999.9666, 1027.6753, 1027.6757),
    (10, 999.7025, 1026.9520, 1026.9541),
    (15, 999.1026, 1025.9720, 1025.9756),
    (20, 998.2072, 1024.7617, 1024.7654),
    (25, 997.0476, 1023.3412, 1023.3431),
    (30, 995.6495, 1021.7262, 1021.7259),
]


@pytest.mark.parametrize(("temperature", "pure", "sea", "newer"), TABLE)
def test_the_tables(temperature: float, pure: float, sea: float, newer: float) -> None:
    assert water_density(temperature) == pytest.approx(pure, abs=0.002)
    assert water_density(temperature, 35) == pytest.approx(sea, abs=1e-4)
    assert water_density(temperature, 35) == pytest.approx(newer, abs=0.004)


# S; C on IPTS-68; kg/m3. The last four stand in a library's own documentation.
@pytest.mark.parametrize(("salinity", "temperature", "density"), [
    (0, 5, 999.96675), (0, 25, 997.04796), (35, 5, 1027.67547), (35, 25, 1023.34306),
    (0, 0, 999.842594), (0, 30, 995.65113), (35, 0, 1028.10633), (35, 30, 1021.72864),
])  # fmt: skip
def test_the_check_values_of_eos_80(salinity: float, temperature: float, density: float) -> None:
    assert water_density(temperature / IPTS_68_OVER_ITS_90, salinity) == pytest.approx(density, abs=6e-6)


@pytest.mark.parametrize("temperature", [0.5, 3.98, 8, 13, 18, 22, 27, 30])
def test_pure_water_by_another_formula(temperature: float) -> None:
    """Tanaka and others, Metrologia 38 (2001): the CIPM's formula (from memory; within 0.001 of IAPWS-95)."""
    t = temperature
    other = 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    assert water_density(t) == pytest.approx(other, abs=0.003)


def test_brackish_water_and_the_share_of_the_sea() -> None:
    """S = 10, 20 C: 1005.792; the sea is 2.66 % denser than fresh water at 20 C."""
    assert water_density(20, 10) == pytest.approx(1005.792, abs=5e-4)
    assert water_density(20, 35) / water_density(20) - 1 == pytest.approx(0.0266, abs=5e-5)


def test_the_trap_of_the_atmosphere_counted_twice() -> None:
    assert water_density(15, 35) < 1026.0
