"""Remedies put on requests: RFC 7396, appendix A, as far as target and patch are objects; RFC 6901 for places."""

from __future__ import annotations

from typing import Any

import pytest
from pourwright_client import patched, pointers


@pytest.mark.parametrize(
    ("target", "patch", "result"),
    [
        ({"a": "b"}, {"a": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
        ({"a": "b"}, {"a": None}, {}),
        ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
        ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
        ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
        ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
        ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
        ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
        ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
    ],
)
def test_a_merge_patch(target: dict[str, Any], patch: dict[str, Any], result: dict[str, Any]) -> None:
    assert patched(target, patch) == result


def test_the_places_that_a_patch_sets() -> None:
    patch = {"params": {"bead_count": 18, "a/b~": None}, "outputs": ["stl"], "rig": {}}
    assert list(pointers(patch)) == [
        ("/params/bead_count", 18),
        ("/params/a~1b~0", None),
        ("/outputs", ["stl"]),
        ("/rig", {}),
    ]
