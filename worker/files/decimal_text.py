"""Many rows of numbers between fixed pieces of text, written at once.

`str.format` and `repr` write 90 MB of such text a second; a craw in 3MF is 8 MB. Here the digits of a column are
worked out together as integers, so that no row costs a call, no locale can change a sign, and no float is printed:
a coordinate is a whole number of the last decimal.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


def number_rows(pieces: Sequence[bytes], values: NDArray[np.int64], decimals: int = 0) -> bytes:
    """`pieces[0] number pieces[1] number ... pieces[k]` for every row of `values` (n, k), joined without a break.

    A value stands for itself divided by ten to the power `decimals`, and is written in its shortest plain form: no
    exponent, no trailing zeros, no sign on zero. Raises ValueError where the pieces do not fit the columns.
    """
    count, columns = values.shape
    if len(pieces) != columns + 1:
        raise ValueError(f"{columns} numbers stand between {columns + 1} pieces, not {len(pieces)}")
    if count == 0:
        return b""
    magnitudes: NDArray[np.integer[Any]] = np.abs(values)
    largest = int(magnitudes.max())
    if largest < 2**32:
        magnitudes = magnitudes.astype(np.uint32)  # these divide in half the time
    whole_digits = len(str(largest // 10**decimals))
    width = 1 + whole_digits + (1 + decimals if decimals else 0)
    page = np.empty((sum(map(len, pieces)) + columns * width, count), np.uint8)
    kept = np.ones(page.shape, np.bool_)
    line = 0
    for number, piece in enumerate(pieces):
        page[line : line + len(piece)] = np.frombuffer(piece, np.uint8)[:, None]
        line += len(piece)
        if number < columns:
            block = slice(line, line + width)
            kept[block.start] = values[:, number] < 0
            _write_digits(page[block], kept[block], magnitudes[:, number], decimals)
            line += width
    return page.T[kept.T].tobytes()


def _write_digits(
    page: NDArray[np.uint8], kept: NDArray[np.bool_], magnitudes: NDArray[np.integer[Any]], decimals: int
) -> None:
    """Fill the lines of one number from its last digit up to its sign, and say which of them are to be written."""
    page[0] = ord("-")
    rest = np.ascontiguousarray(magnitudes)
    ten = rest.dtype.type(10)
    written = np.zeros(len(rest), np.bool_)
    places = [*range(-decimals, 0), None, *range(len(page) - decimals - 2)] if decimals else [*range(len(page) - 1)]
    for line, place in zip(range(len(page) - 1, 0, -1), places, strict=True):
        if place is None:
            page[line], kept[line] = ord("."), written
            continue
        higher = rest // ten
        digit = (rest - higher * ten).astype(np.uint8)
        np.add(digit, ord("0"), out=page[line])
        if place < 0:
            written |= digit != 0  # zeros behind the last digit that counts are left out
            kept[line] = written
        elif place > 0:
            np.not_equal(rest, 0, out=kept[line])  # and so are zeros before the first
        rest = higher
