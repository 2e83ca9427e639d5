"""Densities of salted plastics: rho = 1 / sum(w_i / rho_i), mass fractions, no voids (the rule of mixtures).

Rock salt 2.165 g/cm3 (from memory; a salt institute's page gives 2.1 to 2.6). Values by arithmetic, checked with a
general unit library. The trap: 20 volume-% of salt is 1.2330 g/cm3, 20 weight-% 1.1206.
"""

from __future__ import annotations

import pytest

from tests.outside.made import asked
from worker.estimate import estimate
from worker.values.plastics import BUILT_IN

SALT = 2.165
# Salt in weight-%: mixture of bases of 1.00, 1.02 and 1.05 g/cm3, the typical densities of the three grades.
TABLE = {
    10: (1.0569, 1.0770, 1.1070),
    20: (1.1206, 1.1407, 1.1706),
    30: (1.1925, 1.2124, 1.2419),
    40: (1.2743, 1.2937, 1.3224),
}


@pytest.mark.parametrize(("grade", "column", "base"), [("soft", 0, 1.00), ("medium", 1, 1.02), ("firm", 2, 1.05)])
def test_the_table(grade: str, column: int, base: float) -> None:
    assert BUILT_IN[grade].density.typical == base
    for salt, row in TABLE.items():
        assert BUILT_IN[grade].with_salt(salt).density.typical == pytest.approx(row[column], abs=5e-5)


def test_twenty_per_cent_is_by_weight_and_not_by_volume() -> None:
    by_weight = BUILT_IN["soft"].with_salt(20).density.typical
    assert by_weight == pytest.approx(1 / (0.8 / 1.00 + 0.2 / SALT))
    assert by_weight == pytest.approx(1.12060, abs=5e-6)
    by_volume = 0.8 * 1.00 + 0.2 * SALT
    assert by_volume == pytest.approx(1.2330)
    assert by_volume - by_weight > 0.1


@pytest.mark.parametrize(("wanted", "salt"), [(1.05, 8.85), (1.10, 16.89), (1.20, 30.97)])
def test_the_inverse(wanted: float, salt: float) -> None:
    """w = (1/base - 1/wanted) / (1/base - 1/salt), base 1.00."""
    assert 100 * (1 - 1 / wanted) / (1 - 1 / SALT) == pytest.approx(salt, abs=5e-3)
    assert BUILT_IN["soft"].with_salt(salt).density.typical == pytest.approx(wanted, abs=1e-4)


def test_a_bait_weighs_its_volume_times_the_mixture() -> None:
    asked_for = asked("beaded_worm", {}, plastic={"grade": "soft", "salt_wt_pct": 20})
    metrics = estimate(asked_for)["metrics"]
    assert metrics["mass_g"] == pytest.approx(metrics["volume_mm3"] / 1000 / (0.8 + 0.2 / SALT), rel=2e-6)
    assert metrics["mass_low_g"] < metrics["mass_g"] < metrics["mass_high_g"]


def test_salt_weakens_and_stiffens() -> None:
    """Strength x (1 - 1.21 p^(2/3)), modulus x (1 + 2.5 p + 14.1 p^2), p by volume (from memory; by hand for 20 %)."""
    plain, salted = BUILT_IN["soft"], BUILT_IN["soft"].with_salt(20)
    share = (0.2 / SALT) / (0.8 / 1.00 + 0.2 / SALT)
    assert share == pytest.approx(0.10352, abs=5e-6)
    assert salted.strength.typical == pytest.approx(plain.strength.typical * (1 - 1.21 * share ** (2 / 3)))
    assert salted.modulus.typical == pytest.approx(plain.modulus.typical * (1 + 2.5 * share + 14.1 * share**2))
    assert BUILT_IN["firm"].with_salt(45).strength.low > 0
