"""RFC 9110, sections 13 and 14, by table. The resource has ten bytes and the tag "now"."""

from __future__ import annotations

import pytest
from flask import Request
from werkzeug.exceptions import PreconditionFailed, RequestedRangeNotSatisfiable
from werkzeug.test import EnvironBuilder

from service.conditional import not_modified, require_conditions, require_match, wanted_range

NOW = '"now"'


def ask(method: str = "GET", **headers: str) -> Request:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return Request(EnvironBuilder(method=method, headers=named).get_environ())


@pytest.mark.parametrize(
    ("header", "unchanged"),
    [
        (NOW, True),
        ('W/"now"', True),  # 13.1.2: the weak comparison
        ('"then", "now"', True),
        ("*", True),
        ('"then"', False),
        ("now", True),  # quotes forgotten: read as meant
        ("", False),
    ],
)
def test_if_none_match(header: str, unchanged: bool) -> None:
    assert not_modified(ask(If_None_Match=header), NOW) is unchanged


def test_without_the_header_the_answer_is_sent() -> None:
    assert not not_modified(ask(), NOW)


@pytest.mark.parametrize("header", [NOW, "*", '"then", "now"'])
def test_if_match_that_holds_lets_the_request_pass(header: str) -> None:
    require_match(ask(If_Match=header), NOW)


@pytest.mark.parametrize("header", ['"then"', 'W/"now"'])  # 13.1.1: the strong comparison
def test_if_match_that_does_not_hold_is_412(header: str) -> None:
    with pytest.raises(PreconditionFailed):
        require_match(ask(If_Match=header), NOW)


@pytest.mark.parametrize(
    ("headers", "holds"),
    [
        ({}, True),
        ({"If_Match": NOW}, True),
        ({"If_Match": '"then", "now"'}, True),
        ({"If_Match": "*"}, True),
        ({"If_Match": '"then"'}, False),
        ({"If_Match": 'W/"now"'}, False),  # 13.1.1: the strong comparison
        ({"If_Match": ""}, False),
        ({"If_None_Match": '"then"'}, True),
        ({"If_None_Match": NOW}, False),
        ({"If_None_Match": 'W/"now"'}, False),  # 13.1.2: the weak comparison
        ({"If_None_Match": '"then", "now"'}, False),
        ({"If_None_Match": "*"}, False),
        ({"If_Match": NOW, "If_None_Match": '"then"'}, True),
        ({"If_Match": NOW, "If_None_Match": NOW}, False),
        # Of a tag in two parts what follows the dot says nothing of who may change it
        ({"If_Match": '"now.later"'}, True),
        ({"If_Match": '"then.later"'}, False),
        ({"If_None_Match": '"now.later"'}, False),
    ],
)
@pytest.mark.parametrize("present", [NOW, '"now.moment"'])
def test_conditions_before_a_change(headers: dict[str, str], holds: bool, present: str) -> None:
    asked = ask("PUT", **headers)
    if holds:
        require_conditions(asked, present, "plastic")
    else:
        with pytest.raises(PreconditionFailed):
            require_conditions(asked, present, "plastic")


@pytest.mark.parametrize(
    ("headers", "holds"),
    [({}, True), ({"If_None_Match": "*"}, True), ({"If_None_Match": NOW}, True), ({"If_Match": "*"}, False)],
)
def test_conditions_before_something_is_made(headers: dict[str, str], holds: bool) -> None:
    asked = ask("PUT", **headers)
    if holds:
        require_conditions(asked, None, "plastic")
    else:
        with pytest.raises(PreconditionFailed, match="no such plastic"):
            require_conditions(asked, None, "plastic")


@pytest.mark.parametrize(
    ("header", "part"),
    [
        ("bytes=0-3", (0, 3)),
        ("bytes=3-", (3, 9)),
        ("bytes=9-", (9, 9)),
        ("bytes=0-99", (0, 9)),
        ("bytes=-3", (7, 9)),
        ("bytes=-99", (0, 9)),  # 14.1.2: a suffix longer than the file is the whole of it
        ("BYTES=0-3", (0, 3)),
        ("bytes=0-3,", (0, 3)),  # 5.6.1: empty elements of a list are passed over
        # The whole
        ("bytes=0-0,5-6", None),
        ("bytes=5-2", None),
        ("bytes=a-b", None),
        ("bytes=", None),
        ("bytes=１-３", None),
        ("items=0-3", None),
        ("0-3", None),
        ("", None),
    ],
)
def test_range(header: str, part: tuple[int, int] | None) -> None:
    assert wanted_range(ask(Range=header), NOW, 10) == part


@pytest.mark.parametrize("header", ["bytes=10-", "bytes=99-100", "bytes=-0"])
def test_a_range_after_the_end_is_416(header: str) -> None:
    with pytest.raises(RequestedRangeNotSatisfiable):
        wanted_range(ask(Range=header), NOW, 10)


@pytest.mark.parametrize(
    ("if_range", "part"),
    [
        (NOW, (0, 3)),
        ('"then"', None),
        ('W/"now"', None),  # 13.1.5: the strong comparison
        ("Wed, 21 Oct 2026 07:28:00 GMT", None),
    ],
)
def test_if_range(if_range: str, part: tuple[int, int] | None) -> None:
    assert wanted_range(ask(Range="bytes=0-3", If_Range=if_range), NOW, 10) == part


def test_a_range_means_nothing_to_head() -> None:
    assert wanted_range(ask("HEAD", Range="bytes=0-3"), NOW, 10) is None
