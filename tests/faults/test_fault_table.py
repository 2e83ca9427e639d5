"""The table itself."""

from __future__ import annotations

import datetime

from tests.fault_table import Row, markdown

HELD = Row("test_a.py::b", ("worker killed", "SIGKILL", "built by another", "11.9"), True)
MISSED = Row("test_a.py::a", ("store killed", "a | b", "two\nlines", "-"), False)


def test_rows_are_sorted_and_stand_in_cells() -> None:
    lines = markdown([HELD, MISSED], datetime.date(2026, 1, 2), "a machine").splitlines()
    assert lines[2] == "2026-01-02, a machine. Written by `make faults`."
    assert lines[-2:] == [
        "| store killed | a \\| b | two lines | - | **missed** |",
        "| worker killed | SIGKILL | built by another | 11.9 | held |",
    ]
