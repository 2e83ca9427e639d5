"""The drawing of random requests itself."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.property.drawn import for_all


def test_both_sets_of_a_property_can_be_held_in_one_process() -> None:
    drawn: list[int] = []

    @for_all(st.integers(0, 10**9), quick=3, proof=8)
    def holds(number: int) -> None:
        """Counted."""
        drawn.append(number)

    holds(3)
    assert len(drawn) == 3
    holds(8)
    assert len(drawn) == 3 + 8
