"""RFC 7240 by table: what counts as a wish to wait, and what is passed over."""

from __future__ import annotations

import pytest

from service.prefer import Preference, read_preference, seconds


@pytest.mark.parametrize(
    ("header", "read"),
    [
        ("", Preference()),
        ("wait=10", Preference(10)),
        ("Wait = 10", Preference(10)),
        ('wait="10"', Preference(10)),
        ("wait=0", Preference(0)),
        ("wait=25", Preference(25)),
        ("wait=26", Preference(25)),
        ("wait=007", Preference(7)),
        ("wait=" + "9" * 5000, Preference(25)),
        ("respond-async", Preference(None, True)),
        ("respond-async, wait=10", Preference(10, True)),
        ("wait=10,respond-async", Preference(10, True)),
        ("wait=10; foo=bar, respond-async", Preference(10, True)),
        ("return=minimal, wait=3", Preference(3)),
        ('note="a, wait=9", wait=4', Preference(4)),
        ("wait=1, wait=9", Preference(1)),  # section 2: of one named twice only the first counts
        (", ,wait=5,", Preference(5)),
        # Not understood, so ignored (section 2)
        ("wait", Preference()),
        ("wait=", Preference()),
        ("wait=-1", Preference()),
        ("wait=1.5", Preference()),
        ("wait=ten", Preference()),
        ("wait=１０", Preference()),
        ("wait 10", Preference()),
        ("@@@", Preference()),
        ('wait="10', Preference()),
        ("handling=lenient", Preference()),
    ],
)
def test_a_header_is_read_as_the_standard_has_it(header: str, read: Preference) -> None:
    assert read_preference(header) == read


@pytest.mark.parametrize(("text", "read"), [("0", 0), ("24", 24), ("100", 25), ("", None), ("+3", None), ("²", None)])
def test_seconds_are_whole_and_capped(text: str, read: int | None) -> None:
    assert seconds(text) == read


def test_a_long_header_is_read_in_time_linear_in_its_length() -> None:
    assert read_preference('"' * 8000 + "," * 8000 + "wait=" * 2000) == Preference()
