"""Who a bait is: RFC 8785 text, SHA-256 of it, and what does and does not belong to a bait.

The vectors are RFC 8785's own (section 3.2.2 and appendix B).
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import unicodedata
from typing import Any

import pytest

from worker.request import Request, read_request
from worker.request.identity import bait_id, canonical, digest, engine


def test_canonical_text_of_the_standard() -> None:
    value = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\x0f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    }
    expected = (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
    assert canonical(value) == expected.encode()


def test_members_sort_by_utf_16_units() -> None:
    """RFC 8785, section 3.2.3."""
    value = {"\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\U0001f600": 5, "\x80": 6, "\u00f6": 7}
    names = ['"\\r"', '"1"', '"\x80"', '"\u00f6"', '"\u20ac"', '"\U0001f600"', '"\ufb33"']
    order = [2, 4, 6, 7, 1, 5, 3]
    assert canonical(value) == ("{" + ",".join(f"{n}:{i}" for n, i in zip(names, order, strict=True)) + "}").encode()


def test_a_digest_is_sha_256_of_that_text() -> None:
    assert digest({"b": 1, "a": 2}) == hashlib.sha256(b'{"a":2,"b":1}').hexdigest()
    normal = read_request({"style": "beaded_worm"}).normal
    assert bait_id(normal) == hashlib.sha256(canonical({"engine": engine(), "request": normal})).hexdigest()


def test_the_id_is_64_lower_case_hex_digits() -> None:
    identity = read_request({"style": "beaded_worm"}).id
    assert len(identity) == 64 and set(identity) <= set("0123456789abcdef")


def _id(**members: Any) -> str:
    return read_request({"style": "beaded_worm", **members}).id


def test_the_label_is_no_part_of_a_bait() -> None:
    assert _id(label="Alderbank") == _id(label="two") == _id()
    request = read_request({"style": "beaded_worm", "label": "Alderbank"})
    assert request.label == "Alderbank"
    assert "Alderbank" not in str(request.normal)


@pytest.mark.parametrize("member", [
    {"params": {"length": 126}}, {"plastic": {"grade": "firm"}}, {"plastic": {"salt_wt_pct": 1}},
    {"finish": {"colour": "red"}}, {"finish": {"glitter": {}}}, {"require": {"joint_pull_n": 15}},
    {"checks": {"overlap": {"silence": True}}}, {"checks": {"overlap": {"limit": 0.2}}}, {"tolerance_mm": 0.03},
    {"outputs": ["stl"]}, {"outputs": []}, {"style": "jointed_worm"},
])  # fmt: skip
def test_everything_else_is(member: dict[str, Any]) -> None:
    assert _id(**member) != _id()


@pytest.mark.parametrize(("one", "two"), [
    ({"finish": {"colour": "olivedrab"}}, {"finish": {"colour": "#6B8E23"}}),
    ({"outputs": ["stl", "glb", "stl"]}, {"outputs": ["glb", "stl"]}),
    ({"plastic": {}}, {"plastic": {"grade": "soft", "salt_wt_pct": -0.0}}),
    ({"checks": {"overlap": {"silence": False, "limit": 0.12}}}, {"checks": {}}),
    ({"checks": {"overlap": {"silence": True, "limit": 0.12}}}, {"checks": {"overlap": {"silence": True}}}),
    ({"checks": {"overlap": {"silence": False, "limit": 0.2}}}, {"checks": {"overlap": {"limit": 0.2}}}),
    ({"finish": {"glitter": {}}}, {"finish": {"glitter": {"size_mm": 0.6, "per_cm3": 40, "colour": "gold"}}}),
])  # fmt: skip
def test_one_bait_written_twice(one: dict[str, Any], two: dict[str, Any]) -> None:
    assert _id(**one) == _id(**two)


def test_texts_are_compared_in_normal_form_c() -> None:
    label = "Ma\u0308nner"
    assert read_request({"style": "beaded_worm", "label": label}).label == unicodedata.normalize("NFC", label)


def test_the_normal_form_writes_every_default() -> None:
    normal = read_request({"style": "jointed_worm"}).normal
    assert normal["params"]["core_diameter"] == 6.0
    assert normal["plastic"] == {
        "grade": "soft",
        "salt_wt_pct": 0.0,
        "softener_pct": 0.0,
        "hardener_pct": 0.0,
        "temperature_c": 20.0,
    }
    assert normal["tolerance_mm"] == 0.02
    assert normal["outputs"] == sorted(normal["outputs"])


def test_a_hash_seed_and_a_locale_change_no_id() -> None:
    program = (
        "from worker.request import read_request;"
        "asked = {'style': 'beaded_worm', 'finish': {'colour': 'red'}, 'plastic': {'salt_wt_pct': 12.5}};"
        "print(read_request(asked).id)"
    )
    seen = set()
    for seed, locale in (("0", "C"), ("1", "C.UTF-8"), ("12345", "POSIX")):
        environ = {"PYTHONHASHSEED": seed, "LC_ALL": locale, "PATH": ""}
        ran = subprocess.run([sys.executable, "-c", program], env=environ, capture_output=True, text=True, check=True)
        seen.add(ran.stdout.strip())
    assert seen == {_id(finish={"colour": "red"}, plastic={"salt_wt_pct": 12.5})}


def test_a_patch_changes_only_what_it_names() -> None:
    request = read_request({"style": "beaded_worm", "label": "kept", "require": {"joint_pull_n": 9}})
    changed = request.changed({"params": {"bead_count": 20}, "require": {"joint_pull_n": None}})
    assert changed.params["bead_count"] == 20 and changed.normal["require"] == {} and changed.label == "kept"
    assert request.params["bead_count"] == 18 and request.normal["require"] == {"joint_pull_n": 9}
    assert Request.from_normal(changed.normal).id == changed.id == _id(params={"bead_count": 20})
