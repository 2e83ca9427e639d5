"""What an answer says: what binds, what gives, neighbours, the front, the rules; the same every time."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

import pytest

from tests.fit.fitted import fitted
from worker.errors import RequestRejected
from worker.fit import fit_request
from worker.fit.gauge import Gauge
from worker.fit.makers_terms import COVER, FISH, RIG, WATER
from worker.fit.rules import told_rules
from worker.fit.run import run
from worker.request import read_request

WORM = {"style": "beaded_worm", "free": {"bead_count": {"minimum": 12, "maximum": 22}, "joint_blend": {"step": 0.2}}}
FRONT = WORM | {"goal": "greatest_flexibility", "front": {"points": 8}, "evaluations": 200}


def test_what_binds_is_said_and_one_step_beyond_breaks_it() -> None:
    document = fitted(
        style="jointed_worm",
        free={"core_diameter": {"minimum": 3, "maximum": 7}},
        goal="greatest_flexibility",
        evaluations=120,
    )
    binding = [each["requirement"] for each in document["requirements"] if each["binds"]]
    assert binding == ["checks.joint_pull"]
    thinner = next(each for each in document["neighbours"] if each["value"] < document["best"]["free"]["core_diameter"])
    assert thinner["breaks"] == ["checks.joint_pull"]
    assert thinner["figures"]["flexibility_ratio"] > document["best"]["figures"]["flexibility_ratio"]
    assert "was" in thinner["text"]


def test_where_nothing_meets_all_the_nearest_is_told_and_what_must_give_by_how_much() -> None:
    """A worm of plastic of 1 g/cm3 and half the mass has half the plastic: no neck of it holds 20 N."""
    document = fitted(
        **WORM | {"params": {"length": 127}},
        require={"mass_g": {"at_most": 5}, "trunk_pull_n": {"at_least": 20}},
        goal="greatest_flexibility",
    )
    assert document["outcome"] == "nearest"
    missed = {each["requirement"]: each for each in document["requirements"] if not each["met"]}
    assert set(missed) == {"mass_g"}
    over = missed["mass_g"]["value"] - 5
    assert missed["mass_g"]["text"].endswith(f"is asked: missed by {over:.3g} g.")
    (gives,) = [each for each in document["gives"] if each["requirement"] == "mass_g"]
    assert gives["missed"] == pytest.approx((gives["value"] - 5) / 5, rel=1e-4)
    # Asked for no more than what it gives, all can be met.
    relaxed = fitted(
        **WORM | {"params": {"length": 127}},
        require={"mass_g": {"at_most": gives["value"]}, "trunk_pull_n": {"at_least": 20}},
        goal="greatest_flexibility",
    )
    assert relaxed["outcome"] == "met"


def test_the_nearest_bait_misses_one_thing_and_not_two_by_a_hair() -> None:
    document = fitted(
        style="jointed_worm",
        free={"core_diameter": {"minimum": 3, "maximum": 8}, "bead_count": {"minimum": 6, "maximum": 12}},
        require={"joint_pull_n": 45, "mass_g": {"at_most": 5}},
        goal="greatest_flexibility",
        evaluations=200,
    )
    assert len([each for each in document["requirements"] if not each["met"]]) == 1


def test_what_one_bait_cannot_be_is_told_by_its_checks() -> None:
    document = fitted(**WORM, require={"joint_pull_n": 200}, evaluations=150)
    assert document["outcome"] == "nearest"
    (pull,) = [each for each in document["requirements"] if not each["met"]]
    assert pull["requirement"] == "checks.joint_pull"
    assert "of the 200 N asked" in pull["text"]


def test_of_a_bait_in_pieces_nothing_is_missed_that_is_not_asked() -> None:
    document = fitted(
        style="beaded_worm",
        params={"bead_diameter": 6, "joint_blend": 0},
        free={"bead_count": {"maximum": 9}},
        evaluations=20,
    )
    assert document["outcome"] == "nearest"
    missed = [each["requirement"] for each in document["requirements"]]
    assert missed == [
        "checks.single_piece",
        "checks.overlap",
        "checks.joint_pull",
        "checks.thin_feature",
        "checks.resolution",
    ]
    assert "9 pieces" in document["requirements"][0]["text"]


def test_where_there_is_no_bait_at_all_the_reasons_are_told() -> None:
    document = fitted(style="jointed_worm", params={"bead_diameter": 5}, free={"core_diameter": {"minimum": 6}})
    assert document["outcome"] == "none"
    assert document["best"] is None
    first = document["reasons"][0]
    assert (first["pointer"], first["code"]) == ("/params/core_diameter", "core-too-thick")
    assert first["baits"] > 0


def test_a_nearest_bait_changes_nothing_that_need_not() -> None:
    document = fitted(
        style="beaded_worm",
        free={"bead_count": {"minimum": 10, "maximum": 24}, "joint_blend": {}, "taper": {}},
        goal={"nearest": {"bead_count": 18, "joint_blend": 0.8, "taper": 1}},
        evaluations=200,
    )
    assert document["best"]["free"] == {"bead_count": 18, "joint_blend": 0.8, "taper": 1.0}


def test_no_bait_of_a_front_beats_another_and_each_can_be_ordered() -> None:
    document = fitted(**FRONT)
    points = document["front"]["points"]
    assert 3 <= len(points) <= 8
    pulls, gives = ([point[name] for point in points] for name in ("pull", "flexibility"))
    assert pulls == sorted(pulls, reverse=True)
    assert gives == sorted(gives)
    assert len(set(pulls)) == len(set(gives)) == len(points)
    for point in points:
        assert read_request(point["request"]).id == point["bait"]
        assert point["meets"] == (point["misses"] == [])
    assert {point["meets"] for point in points} == {True, False}


def test_the_plot_tells_its_baits_apart_without_a_colour() -> None:
    answer = run(fit_request(FRONT))
    drawn = answer.files["tradeoff.svg"].decode()
    root = ElementTree.fromstring(drawn)
    colours = set(re.findall(r"#[0-9a-f]{3,6}", drawn))
    assert all(re.fullmatch(r"#(?:(.)\1\1|(..)\2\2)", colour) for colour in colours), "greys alone"
    words = [element.text or "" for element in root.iter() if element.tag.endswith("text")]
    assert "Pull that the trunk holds, N" in words
    assert "Flexibility ratio" in words
    points = answer.document["front"]["points"]
    meets = sum(point["meets"] for point in points)
    assert drawn.count('class="close"') == 2 * (len(points) - meets)  # on the plot and in the list
    for name in ("Holds the most", "Best for the goal", "Bends the most"):
        assert name in words


def test_lengths_on_an_axis_are_told_in_both_units() -> None:
    front = {"flexibility": "tip_give_up_down_mm_per_mn", "points": 4}
    drawn = run(fit_request(FRONT | {"front": front, "evaluations": 80})).files["tradeoff.svg"].decode()
    assert "Tip give up and down, mm/mN" in drawn
    assert "in/mN" in drawn
    assert re.search(r"[0-9.]+ mm \([0-9.]+ in\)", drawn)


def test_the_same_fit_has_the_same_bytes_and_stays_in_its_bounds() -> None:
    first, second = run(fit_request(FRONT)), run(fit_request(FRONT))
    assert first.files == second.files
    assert json.loads(first.files["fit.json"]) == first.document
    assert first.document["evaluations"]["made"] <= 200


@pytest.mark.parametrize("evaluations", [20, 60, 150])
def test_no_more_baits_are_worked_out_than_may_be(evaluations: int) -> None:
    document = fitted(
        style="ribbed_worm",
        free={"width": {}, "height": {}, "rib_depth": {}},
        require={"mass_g": {"equal": 6}, "fresh_water_behaviour": {"equal": "sinks"}},
        front=True,
        evaluations=evaluations,
    )
    assert document["evaluations"]["made"] <= evaluations


def test_salt_is_found_that_sinks_a_bait_and_no_more() -> None:
    document = fitted(
        style="stick_worm",
        free={"salt_wt_pct": {"maximum": 30}},
        require={"fresh_water_behaviour": {"equal": "sinks"}},
        goal="strongest_joint",
        evaluations=120,
    )
    salt = document["best"]["free"]["salt_wt_pct"]
    less = read_request(
        document["best"]["request"] | {"plastic": {"grade": "soft", "salt_wt_pct": round(salt - 0.2, 3)}}
    )
    assert document["outcome"] == "met"
    assert Gauge.of(less).figure("fresh_water_behaviour") == "suspends"


@pytest.mark.parametrize("fish", FISH.choices)
@pytest.mark.parametrize("cover", COVER.choices)
def test_every_makers_terms_make_a_fit_and_show_the_rules(fish: str, cover: str) -> None:
    for water in WATER.choices:
        for depth in ("1 ft", "9 m"):
            body = {"maker": {"fish": fish, "cover": cover, "water": water, "depth": depth}, "evaluations": 20}
            request = fit_request(body)
            assert request.normal["maker"]["fish"] == fish
            assert any("_rigged_" in name for name in request.normal["require"])


@pytest.mark.parametrize("rig", RIG.choices)
def test_what_a_maker_says_himself_goes_before_the_rules(rig: str) -> None:
    hook = {"gape": 15, "shank": "1 in", "wire": 1}
    body = {"maker": {"fish": "perch", "rig": rig, "hook": hook}, "params": {"length": "3 in", "bead_count": 12}}
    request = fit_request(body)
    assert request.normal["rig"]["kind"] == rig
    assert request.normal["rig"]["hook"] == {"gape": 15.0, "shank": 25.4, "wire": 1.0}
    assert request.normal["params"]["length"] == 76.2
    assert "bead_count" not in request.normal["free"]
    assert "bead_diameter" in request.normal["free"]


@pytest.mark.parametrize("told", [{"gape": "6.5 mm"}, {"shank": 13}, {"mass_g": 0.2}, {}])
def test_what_is_not_told_of_a_hook_is_of_the_fish(told: dict[str, object]) -> None:
    """A panfish hook and a bait of 50 mm (the table's own line), however much of the hook is told."""
    request = fit_request({"maker": {"fish": "panfish", "hook": told}})
    usual = {"gape": 6.0, "shank": 12.0, "wire": 0.6}
    assert request.normal["rig"]["hook"] == usual | {name: 6.5 if name == "gape" else at for name, at in told.items()}
    assert request.normal["params"]["length"] == 50
    assert fit_request(request.normal).normal == request.normal


@pytest.mark.parametrize("bound", [{"at_most": 20}, {"equal": 20, "within": 1}, {"at_least": 5}])
def test_a_bound_of_the_request_stands_alone(bound: dict[str, float]) -> None:
    """The rules ask a bass bait at 2 m for 33 mm/s and more: who asks for 20 at most is not told that he asked both."""
    name = "fresh_water_rigged_sink_rate_mm_s"
    request = fit_request({"maker": {"fish": "bass"}, "require": {name: bound, "joint_pull_n": 9}})
    assert request.normal["require"][name] == bound
    assert request.normal["require"]["joint_pull_n"] == 9
    assert fit_request(request.normal).normal == request.normal


def test_rules_are_told_with_what_they_gave_as_judgement() -> None:
    document = fitted(maker={"fish": "trout", "cover": "rock", "depth": "3 m"}, evaluations=60)
    rules = {each["rule"]: each for each in document["rules"]}
    assert {each["basis"] for each in document["rules"]} == {"judgement"}
    # 5 N for trout, times 1.3 over rock: the table's own lines.
    assert rules["pull"]["gives"] == {"require": {"joint_pull_n": 6.5}}
    assert document["best"]["request"]["require"] == {"joint_pull_n": 6.5}
    assert "5 N; times 1.3 for rock: 6.5 N" in rules["pull"]["text"]


@pytest.mark.parametrize(
    ("depth", "seconds", "speed"), [("3 m", 60, 50), ("100 m", 400, 250), ("30 m", 120, 250), ("300 mm", 30, 10)]
)
def test_the_time_to_be_down_is_what_the_depth_takes_at_the_speed_asked(depth: str, seconds: int, speed: int) -> None:
    """s = depth / speed; the speed is kept between 10 and 250 mm/s (the table's own lines)."""
    rules = told_rules(fit_request({"maker": {"fish": "cod", "depth": depth, "water": "salt"}}).normal)
    (text,) = [each["text"] for each in rules if each["rule"] == "depth"]
    assert f"within {seconds} s: it sinks at {speed} mm/s at least, in salt water." in text


@pytest.mark.parametrize(
    ("fish", "rig", "depth", "grams"),
    [
        ("panfish", "jig_head", "2 m", 1),  # 3.5 g times 1 / 3.5
        ("panfish", "jig_head", "10 m", 4),  # 14 g times 1 / 3.5
        ("panfish", "texas", "5 m", 2),
        ("perch", "jig_head", "1 ft", 1.8),  # a jig head has its head, however shallow
        ("bass", "texas", "2 m", 3.5),
        ("bass", "texas", "2 ft", None),
        ("pike", "jig_head", "2 m", 15),
        ("pike", "texas", "2 m", 3.5),
        ("pike", "jig_head", "30 m", 28),
        ("cod", "jig_head", "2 ft", 20),
        ("zander", "neko", "5 m", 7),
    ],
)
def test_a_weight_goes_by_the_fish_as_by_the_depth(fish: str, rig: str, depth: str, grams: float | None) -> None:
    """Judgement, no source: the table's own lines."""
    request = fit_request({"maker": {"fish": fish, "rig": rig, "depth": depth}})
    assert [each["mass_g"] for each in request.normal["rig"]["weights"]] == ([] if grams is None else [grams])
    (text,) = [each["text"] for each in told_rules(request.normal) if each["rule"] == "weight"]
    assert (f"{grams:g} g of lead" in text) if grams else text == "So shallow it needs no weight."


@pytest.mark.parametrize(
    ("maker", "seconds", "told"),
    [
        ({"fish": "trout", "depth": "20 m"}, 2000, True),
        ({"fish": "bass", "rig": "wacky", "depth": "100 m"}, 10_000, True),
        ({"fish": "bass", "rig": "nose", "depth": "600 mm"}, 60, False),
        ({"fish": "bass", "rig": "texas", "depth": "900 mm"}, 90, True),
    ],
)
def test_of_a_rig_without_a_weight_little_is_asked_and_what_would_do_is_said(
    maker: dict[str, str], seconds: int, told: bool
) -> None:
    """10 mm/s, the table's slowest; s = depth / speed."""
    request = fit_request({"maker": maker})
    assert request.normal["rig"]["weights"] == []
    assert request.normal["require"]["fresh_water_rigged_sink_rate_mm_s"] == {"at_least": 10}
    (text,) = [each["text"] for each in told_rules(request.normal) if each["rule"] == "depth"]
    assert f"within {seconds} s" in text
    assert ("hang one on, or fish it shallower" in text) == told


def test_a_rig_that_does_not_go_on_is_no_traceback() -> None:
    hook = {"gape": 12, "shank": 140, "wire": 1}
    try:
        document = fitted(maker={"fish": "panfish", "hook": hook}, params={"length": 60}, evaluations=30)
    except RequestRejected as error:
        pytest.fail(str(error))
    assert document["outcome"] == "none"
    assert "beyond-the-tail" in [each["code"] for each in document["reasons"]]
