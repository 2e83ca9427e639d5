"""How long a lease stood still, by our own eyes."""

from __future__ import annotations

from worker.records.reaper import LEASE_S, LONGEST_GAP_S, Stillness


def test_a_value_that_moves_never_stands_still() -> None:
    still: Stillness[str] = Stillness()
    for second in range(30):
        assert still.look({"a": second}, float(second)) == {"a": 0.0}


def test_a_value_that_stands_is_counted_from_when_it_was_first_seen() -> None:
    still: Stillness[str] = Stillness()
    times = [still.look({"a": 7}, float(second))["a"] for second in range(12)]
    assert times[-1] == 11.0 > LEASE_S


def test_time_in_which_nobody_looked_does_not_count() -> None:
    still: Stillness[str] = Stillness()
    still.look({"a": 7}, 0.0)
    assert still.look({"a": 7}, LONGEST_GAP_S + 100)["a"] == 0.0


def test_after_forgetting_all_starts_anew() -> None:
    still: Stillness[str] = Stillness()
    still.look({"a": 7}, 0.0)
    still.forget()
    assert still.look({"a": 7}, 2.0)["a"] == 0.0


def test_what_went_and_came_again_starts_anew() -> None:
    still: Stillness[str] = Stillness()
    still.look({"a": 7}, 0.0)
    still.look({}, 1.0)
    assert still.look({"a": 7}, 2.0)["a"] == 0.0
