"""Numbers written in columns, held against Python's own decimals."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from worker.files.decimal_text import number_rows

WHOLE = st.integers(min_value=-(2**62), max_value=2**62)


def shortest(value: int, decimals: int) -> str:
    """The plain decimal form without a zero that could be left out."""
    text = f"{Decimal(value).scaleb(-decimals):.{decimals}f}"
    if decimals:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@given(st.lists(st.tuples(WHOLE, WHOLE), min_size=1, max_size=20), st.sampled_from([0, 1, 5]))
def test_numbers_are_written_in_their_shortest_plain_form(rows: list[tuple[int, int]], decimals: int) -> None:
    text = number_rows([b"<", b",", b">"], np.array(rows, np.int64), decimals).decode()
    assert text == "".join(f"<{shortest(a, decimals)},{shortest(b, decimals)}>" for a, b in rows)


@pytest.mark.parametrize(
    ("value", "text"), [(0, b"0"), (1, b"0.00001"), (-1, b"-0.00001"), (100_000, b"1"), (-1_250_000, b"-12.5")]
)
def test_hundred_thousandths(value: int, text: bytes) -> None:
    assert number_rows([b"", b""], np.array([[value]]), 5) == text


def test_no_rows_are_no_text() -> None:
    assert number_rows([b"a", b"b"], np.empty((0, 1), np.int64)) == b""


def test_pieces_that_do_not_fit_the_columns_are_refused() -> None:
    with pytest.raises(ValueError, match="3 numbers stand between 4 pieces, not 2"):
        number_rows([b"", b""], np.zeros((1, 3), np.int64))
