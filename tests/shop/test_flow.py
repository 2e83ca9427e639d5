"""Flow through gates and sprues against published figures."""

from __future__ import annotations

import pytest

from tests.shop.made import mould, subject
from worker.shot.cycle import fillings_of
from worker.shot.flow import round_drop, slot_drop, slot_factor
from worker.shot.mould_of import Channels

# Friction factor times Reynolds number of laminar flow in rectangular ducts, sides 1 : 1 to 8 : 1 (Shah and London,
# Laminar Flow Forced Convection in Ducts, 1978; as in White, Fluid Mechanics, table 6.4). 96 between plates.
DUCTS = [(1, 56.91), (2, 62.19), (4, 72.93), (8, 82.34)]


@pytest.mark.parametrize(("ratio", "product"), DUCTS)
def test_side_walls_take_what_is_published(ratio: int, product: float) -> None:
    share = 1 / ratio
    assert 96 / ((1 + share) ** 2 * slot_factor(share)) == pytest.approx(product, abs=0.02)


def test_a_wide_slot_is_poiseuille_s_between_plates() -> None:
    """12 mu L Q / (w h^3): 1 Pa.s, 4 mm long, 1 by 400 mm, 10 mL/s is 1.2 kPa by hand, side walls nearly nothing."""
    assert 1000 * slot_drop(1.0, 400.0, 1.0, 4.0, 10_000.0) == pytest.approx(1.2, rel=2e-3)


def test_a_sprue_drops_what_the_worked_figure_says() -> None:
    """8 mu L Q / (pi r^4): 1 Pa.s, 30 mm, r = 2 mm, 10 mL/s is 47.75 kPa (arithmetic on the textbook's formula)."""
    assert 1000 * round_drop(1.0, 30.0, 4.0, 10_000.0) == pytest.approx(47.75, abs=0.01)


def test_filling_is_as_slow_as_what_holds_it_back() -> None:
    shot = subject(shot={"pressure_mpa": 0.3, "flow_ml_s": 10}).request.normal["shot"]
    thin, thick = fillings_of(shot, Channels(mould())) or pytest.fail("a gate fills")
    # The injector alone: 2 x 6 mL at 10 mL/s. At 3 Pa.s the pressure that drives it is within the injector's.
    assert thin.seconds == thick.seconds == pytest.approx(1.2)
    assert thick.drop == pytest.approx(10 * thin.drop)
    by_hand = slot_drop(3.0, 5.0, 3.0, 4.0, 5000) + round_drop(3.0, 30.0, 8.0, 1e4) + round_drop(3.0, 20.0, 6.0, 1e4)
    assert thick.drop == pytest.approx(by_hand)


def test_a_thin_gate_is_slower_than_the_injector() -> None:
    shot = subject(shot={"pressure_mpa": 0.1, "flow_ml_s": 100}).request.normal["shot"]
    thin, thick = fillings_of(shot, Channels(mould(gate_depth=0.8, gate_width=3.0))) or pytest.fail("a gate fills")
    assert thick.drop == pytest.approx(0.1) and thick.seconds > thin.seconds


def test_an_open_mould_has_no_gate_to_fill_through() -> None:
    shot = subject(shot={}).request.normal["shot"]
    assert fillings_of(shot, Channels(mould(kind="open_pour", gate_depth=0.0, gate_width=0.0))) is None
