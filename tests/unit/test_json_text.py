"""Strict JSON: RFC 8259, and of RFC 7493 (I-JSON) what it says of duplicate members, surrogates and large numbers."""

from __future__ import annotations

import json
from itertools import islice
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from worker.errors import MalformedRequest
from worker.request.json_text import DEEPEST, parse_items, parse_json


def code(raw: bytes) -> str:
    """The code of the one fault that this body has."""
    with pytest.raises(MalformedRequest) as raised:
        parse_json(raw)
    assert raised.value.detail
    (fault,) = raised.value.faults
    assert fault.pointer == ""
    assert fault.detail == raised.value.detail
    return fault.code


@pytest.mark.parametrize(("raw", "expected"), [
    (b"", "not-json"),
    (b" ", "not-json"),
    (b"{", "not-json"),
    (b'{"a": 1', "not-json"),
    (b'{"a": 1}}', "not-json"),
    (b'{"a": 1} {}', "not-json"),
    (b"{'a': 1}", "not-json"),
    (b'{"a": 1,}', "not-json"),
    (b'{"a": 01}', "not-json"),
    (b'{"a": +1}', "not-json"),
    (b'{"a": .5}', "not-json"),
    (b'{"a": 0x10}', "not-json"),
    (b'{"a": tru}', "not-json"),
    (b'{"a": "x\ny"}', "not-json"),
    (b"// {}", "not-json"),
    (b'{"a": 1, "a": 1}', "duplicate-member"),
    (b'{"b": {"a": 1, "c": 2, "a": 3}}', "duplicate-member"),
    (b'[{"a": 1, "\\u0061": 1}]', "duplicate-member"),
    (b'{"a": NaN}', "not-a-number"),
    (b'{"a": Infinity}', "not-a-number"),
    (b'{"a": -Infinity}', "not-a-number"),
    (b"NaN", "not-a-number"),
    (b'{"a": 1e400}', "number-too-large"),
    (b'{"a": -1e400}', "number-too-large"),
    (b'{"a": 9007199254740993}', "number-too-large"),
    (b'{"a": ' + b"9" * 5000 + b"}", "number-too-large"),
    (b'{"a": 0.' + b"1" * 5000 + b"}", "number-too-large"),
    (b'{"a": "\\u0000"}', "nul"),
    (b'{"\\u0000": 1}', "nul"),
    (b'{"a": ["x", ["\\u0000"]]}', "nul"),
    (b'{"a": "\\ud800"}', "lone-surrogate"),
    (b'{"a": "\\udc00\\ud800"}', "lone-surrogate"),
    (b'{"\\ud800": 1}', "lone-surrogate"),
    (b'{"a": "\xff"}', "not-utf-8"),
    (b'{"a": "\xed\xa0\x80"}', "not-utf-8"),
    (b'{"a": "\xc0\xaf"}', "not-utf-8"),
    (b'\xff\xfe{\x00}\x00', "not-utf-8"),
])  # fmt: skip
def test_what_is_refused(raw: bytes, expected: str) -> None:
    assert code(raw) == expected


def test_a_byte_order_mark_is_not_json() -> None:
    """RFC 8259, section 8.1: a text does not begin with one; a reader may ignore it. Either way it is no crash."""
    assert code(b'\xef\xbb\xbf{"a": 1}') == "not-json"


@pytest.mark.parametrize("brackets", [(b"[", b"]"), (b'{"a":', b"}")])
def test_depth(brackets: tuple[bytes, bytes]) -> None:
    begin, end = brackets
    deepest = begin * DEEPEST + b"1" + end * DEEPEST
    assert parse_json(deepest) is not None
    assert code(begin * (DEEPEST + 1) + b"1" + end * (DEEPEST + 1)) == "too-deep"
    assert code(begin * 100_000) == "too-deep"


def test_brackets_in_a_text_are_not_depth() -> None:
    text = "[" * 100 + '\\"' + "{" * 100
    assert parse_json(f'{{"a": "{text}"}}'.encode()) == {"a": text.replace("\\", "")}


@pytest.mark.parametrize(("raw", "value"), [
    (b'{"a": 1}', {"a": 1}),
    (b'\n {"a": [1.5, -2, true, null, "x"]}\t', {"a": [1.5, -2, True, None, "x"]}),
    (b'{"a": "\\ud83d\\ude00"}', {"a": "\U0001f600"}),
    ('{"\u00e9": "\u65e5"}'.encode(), {"\u00e9": "\u65e5"}),
    (b'{"a": 1e-400}', {"a": 0.0}),
    (b'{"a": 9007199254740992}', {"a": 2**53}),
    (b'{"": 1, " ": 2}', {"": 1, " ": 2}),
    (b"[]", []),
])  # fmt: skip
def test_what_is_read(raw: bytes, value: object) -> None:
    assert parse_json(raw) == value


def test_equal_names_in_different_objects_are_no_duplicates() -> None:
    assert parse_json(b'{"a": {"a": 1}, "b": {"a": 1}}') == {"a": {"a": 1}, "b": {"a": 1}}


_TEXTS = st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"]))
_FINITE = st.floats(allow_nan=False, allow_infinity=False)
_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | _FINITE | _TEXTS,
    lambda below: st.lists(below, max_size=4) | st.dictionaries(_TEXTS, below, max_size=4),
    max_leaves=12,
)


@settings(max_examples=150, derandomize=True, database=None, deadline=None)
@given(_VALUES, st.booleans())
def test_what_python_writes_is_read_back(value: Any, ascii_only: bool) -> None:
    assert parse_json(json.dumps(value, ensure_ascii=ascii_only).encode()) == value


@settings(max_examples=300, derandomize=True, database=None, deadline=None)
@given(st.binary(max_size=60) | st.text(alphabet='{}[]",:\\u0dD8e+-.1NaIn\x00 \ud800').map(
    lambda text: text.encode("utf-8", "surrogatepass")
))  # fmt: skip
def test_no_bytes_raise_anything_else(raw: bytes) -> None:
    try:
        parse_json(raw)
    except MalformedRequest as error:
        assert len(error.faults) == 1


def items(raw: bytes) -> list[object]:
    found = parse_items(raw)
    assert found is not None
    return list(found)


@pytest.mark.parametrize(
    "raw",
    [b"[", b"[1", b"[1,", b"[1,]", b"[,]", b"[1 2]", b"[1]]", b"[1] 2", b"[]]", b"[1,2}", b'["a": 1]', b" [tru]"],
)
def test_what_is_no_array_to_the_whole_reader_is_none_item_by_item(raw: bytes) -> None:
    assert code(raw) == "not-json"
    with pytest.raises(MalformedRequest) as raised:
        items(raw)
    assert [fault.code for fault in raised.value.faults] == ["not-json"]


SINGLE = st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text(st.characters(exclude_categories=["Cs"]))


@given(
    st.lists(
        st.recursive(
            SINGLE,
            lambda below: st.lists(below, max_size=3) | st.dictionaries(st.text("abé", max_size=3), below, max_size=3),
            max_leaves=8,
        ).filter(lambda value: "\\u0000" not in json.dumps(value)),
        max_size=5,
    ),
    st.sampled_from([(",", ":"), (", ", ": "), ("\t,\r\n ", " : ")]),
    st.sampled_from(["", " ", "\n\t"]),
)
@settings(deadline=None)
def test_items_are_what_the_whole_reader_gives(value: list[Any], separators: tuple[str, str], blanks: str) -> None:
    raw = (blanks + json.dumps(value, separators=separators) + blanks).encode()
    assert items(raw) == parse_json(raw) == value


@pytest.mark.parametrize("raw", [b"{}", b"7", b"", b"\xef\xbb\xbf[]"])
def test_what_is_no_array_has_no_items(raw: bytes) -> None:
    assert parse_items(raw) is None


def test_what_is_not_asked_for_is_not_read() -> None:
    found = parse_items(b'[1, "two", {"a": 1, "a": 2}, ' + b"[" * 100_000)
    assert found is not None
    assert list(islice(found, 2)) == [1, "two"]
    with pytest.raises(MalformedRequest) as raised:
        next(found)
    assert raised.value.faults[0].code == "duplicate-member"


@pytest.mark.parametrize("levels", [DEEPEST + 1, 100_000])
def test_an_item_is_as_deep_as_a_request_may_be(levels: int) -> None:
    assert items(b"[" + b"[" * DEEPEST + b"]" * DEEPEST + b"]")
    with pytest.raises(MalformedRequest) as raised:
        items(b"[" + b"[" * levels + b"]" * levels + b"]")
    assert raised.value.faults[0].code == "too-deep"
