"""The shot: mass is kept, salt goes by weight, colours by volume; every figure by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.shop.made import mould, subject
from worker.errors import Fault, InfeasibleRequest
from worker.estimate import estimate
from worker.measures.hook.along import trunk_length
from worker.measures.strand.thickest import Thickest, thickest_of
from worker.request import read_request
from worker.shot.colours import colours_of, core_volume
from worker.shot.figures import shot_figures
from worker.shot.masses import Masses, hot_density
from worker.shot.mould_of import assumed_mould
from worker.values.mould_materials import mould_material
from worker.values.shrinkage import cavity_scale


def told(members: dict[str, Any], volume: float = 5600.0, **of_mould: Any) -> dict[str, Any]:
    """The shot of 5.6 cm3, of a mould of two cavities."""
    return shot_figures(subject(**members), volume, mould(**of_mould))


def refused(body: dict[str, Any]) -> dict[str, Fault]:
    """Faults by pointer."""
    with pytest.raises(InfeasibleRequest) as caught:
        read_request(body)
    return {fault.pointer: fault for fault in caught.value.faults}


@pytest.mark.parametrize(("shrinkage", "volume"), [(2.0, 1.062482), (3.0, 1.095683)])
def test_a_cavity_is_the_bait_over_one_less_shrinkage(shrinkage: float, volume: float) -> None:
    """Volumes of cavities for 2 and 3 %, by arithmetic: 1 / (1 - s)^3."""
    own = {"low": shrinkage, "typical": shrinkage, "high": shrinkage}
    request = read_request(
        {"style": "beaded_worm", "plastic": {"grade": "soft", "name": "kettle", "properties": {"shrinkage": own}}}
    )
    assert cavity_scale(request.normal) ** 3 == pytest.approx(volume, abs=1e-6)


def test_a_measured_shrinkage_wins_over_packing() -> None:
    own = {"low": 1, "typical": 1.4, "high": 1.7}
    plastic = {"grade": "soft", "name": "kettle", "properties": {"shrinkage": own}}
    assert told({"shot": {"packed": True}})["shrinkage_pct"] == 1.5
    assert told({"shot": {"packed": True}, "plastic": plastic})["shrinkage_pct"] == 1.4


def test_salt_takes_its_share_of_the_volume_off_the_shrinkage() -> None:
    """20 % by weight of 2.165 in 1.00 g/cm3: 10.351 % of the volume by arithmetic."""
    assert told({"shot": {}, "plastic": {"salt_wt_pct": 20}})["shrinkage_pct"] == pytest.approx(2 * 0.89649, abs=2e-5)


def test_plastic_is_lighter_when_it_is_hot() -> None:
    """160e-6 a degree in each direction (makeitfrom.com), over 155 degrees: 7.26 % of volume."""
    assert 1 / hot_density(1.0, 175.0) == pytest.approx(1.0248**3, rel=1e-9)


def test_mass_is_kept() -> None:
    masses = Masses(bait=6.2, cavities=3, channels=2.4, waste=0.08, remelt=0.5)
    into = masses.fresh + masses.remelted
    assert into == pytest.approx(3 * 6.2 + 2.4 + masses.wasted)
    assert masses.wasted == pytest.approx(0.08 * into)


@pytest.mark.parametrize("remelt", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("shots", [1, 2, 7])
def test_a_run_poured_shot_by_shot_takes_as_much_from_the_bottles(remelt: float, shots: int) -> None:
    """A pot that is filled up before each shot with what the last one's channels do not make up."""
    masses, bottles, back = Masses(bait=6.2, cavities=3, channels=2.4, waste=0.08, remelt=remelt), 0.0, 0.0
    for _ in range(shots):
        bottles += (3 * 6.2 + 2.4) / 0.92 - back
        back = remelt * 2.4
    assert masses.run(shots) == pytest.approx(bottles)


@pytest.mark.parametrize(
    ("asked", "share", "said"),
    [
        ({}, 1, False),
        ({"remelt_pct": 30}, 0.3, False),
        ({"method": "laminate", "colours": [{}, {}]}, 0, True),
        ({"method": "core_shot"}, 0, True),
        ({"method": "core_shot", "remelt_pct": 30}, 0.3, False),
    ],
)
def test_channels_of_several_colours_go_back_into_no_pot_unless_asked(
    asked: dict[str, Any], share: float, said: bool
) -> None:
    shot = told({"shot": asked})
    assert shot["remelt_g"] == pytest.approx(share * shot["channels_g"], rel=1e-5)
    assert any("into no pot" in each for each in shot["assumed"]) == said


def test_the_whole_shot_by_hand() -> None:
    shot = told({"plastic": {"salt_wt_pct": 20}, "shot": {"baits": 41, "waste_pct": 10, "remelt_pct": 50}})
    density = 1 / (0.8 / 1.0 + 0.2 / 2.165)
    hot = density / 1.0248**3
    left = 1 - 0.02 * 0.89649  # of a length; the salt's share of the volume does not shrink
    bait, channels = 6.0 * left**3 * density, 1.7 * hot
    assert shot["bait_g"] == pytest.approx(bait, rel=1e-5)
    assert shot["channels_g"] == pytest.approx(channels, rel=1e-5)
    assert shot["shot_ml"] == pytest.approx((2 * bait + channels) / hot, rel=1e-5)
    fresh = (2 * bait + channels) / 0.9 - channels / 2
    assert shot["fresh_g"] == pytest.approx(fresh, rel=1e-5)
    assert shot["salt_per_bait_g"] == pytest.approx(0.2 * fresh / 2, rel=1e-5)
    assert shot["salt_per_litre_g"] == pytest.approx(250.0)
    assert shot["baits_per_litre"] == pytest.approx(1000 / (0.8 * fresh / 2), rel=1e-5)
    assert shot["run"]["shots"] == 21
    # Nothing is back in the pot when the first shot is heated: the channels of the last are what is left over.
    assert shot["run"]["salt_g"] == pytest.approx(0.2 * (21 * fresh + channels / 2), rel=1e-5)
    assert shot["colours"][0]["run_fresh_g"] == pytest.approx(21 * fresh + channels / 2, rel=1e-5)
    # What the cavity holds hot is lighter than the bait: the sprue feeds the rest.
    assert shot["fed_from_sprue_g"] == pytest.approx(bait - 6.0 * hot, rel=1e-4)


def test_clamps_hold_pressure_times_area() -> None:
    """0.3 MPa on 150 by 12 mm: 540 N."""
    assert told({"shot": {"pressure_mpa": 0.3}}, projected_area=150.0 * 12.0)["clamp_n"] == 540


def test_an_injector_that_is_too_small_is_filled_again() -> None:
    large, small = (told({"shot": {"injector_ml": size}}) for size in (60, 5))
    assert (large["shots_per_filling"], large["injector_fillings"]) == (4, 1)
    assert (small["shots_per_filling"], small["injector_fillings"]) == (0, 3)


def test_a_laminate_s_colours_go_by_their_shares() -> None:
    colours = [{"name": "back", "share_pct": 50}, {"name": "stripe"}, {"name": "belly", "share_pct": 40}]
    shot = told({"shot": {"method": "laminate", "colours": colours}})
    assert [each["share_pct"] for each in shot["colours"]] == [50, 10, 40]
    assert sum(each["bait_g"] for each in shot["colours"]) == pytest.approx(shot["bait_g"], rel=1e-5)
    assert [each["place"] for each in shot["colours"]] == ["back", "middle", "belly"]


def test_a_core_shot_s_core_is_a_capsule() -> None:
    """Of a ball's 4/3 pi r^3 and a cylinder's pi r^2 h (any geometry textbook)."""
    shot = subject(shot={"method": "core_shot", "core_diameter": 4, "core_length": 64}).request.normal["shot"]
    capsule = math.pi * 4 * 60 + 4 / 3 * math.pi * 8
    assert core_volume(shot, 127.0) == pytest.approx(capsule)
    skin, core = colours_of(shot, "#808000", 127.0, 5600.0)
    assert core.share == pytest.approx(capsule / 5600) and skin.share + core.share == pytest.approx(1)


# Four fifths of the thickest section, nine tenths of the trunk and four fifths of the volume: judgement, as stated.
@pytest.mark.parametrize("style", ["beaded_worm", "craw", "leech", "grub", "lizard", "shrimp", "pull_bar"])
def test_a_core_has_to_lie_in_the_trunk(style: str) -> None:
    body: dict[str, Any] = {
        "style": style,
        "shot": {"method": "core_shot", "core_diameter": 40, "core_length": 500},
    }
    faults = refused(body)
    assert set(faults) == {"/shot/core_diameter", "/shot/core_length"}
    for pointer, fault in faults.items():
        assert isinstance(fault.allowed, dict)
        body["shot"][pointer.rpartition("/")[2]] = fault.allowed["maximum"]
    colours = estimate(read_request(body))["metrics"]["shot"]["colours"]
    assert 0 < colours[1]["share_pct"] < 80.01 and colours[0]["share_pct"] > 19.99
    made = subject(style)
    trunk, thickest = trunk_length(made.trunk_strands), thickest_of(made.trunk_strands, ()).least
    assert body["shot"]["core_length"] == pytest.approx(0.9 * trunk, abs=0.01)
    assert body["shot"]["core_diameter"] <= 0.8 * thickest
    for name in ("core_diameter", "core_length"):
        more = {**body, "shot": {**body["shot"], name: body["shot"][name] + 0.02}}
        assert set(refused(more)) == {f"/shot/{name}"}


def test_a_core_of_no_told_length_goes_with_the_trunk_not_with_claws_or_feelers() -> None:
    made = subject("craw", shot={"method": "core_shot", "core_diameter": 4})
    trunk = trunk_length(made.trunk_strands)
    assert made.size.length > 1.1 * trunk
    left_out = shot_figures(made, 6000.0)["colours"]
    told_so = subject("craw", shot={"method": "core_shot", "core_diameter": 4, "core_length": 0.7 * trunk})
    assert shot_figures(told_so, 6000.0)["colours"] == left_out


def test_a_core_that_would_be_most_of_a_tapering_bait_is_refused() -> None:
    """Two cones hold a third of what their thickest section makes of their length (Euclid, XII.10)."""
    girth = [{"at": 0, "width": 2}, {"at": 0.5, "width": 20}, {"at": 1, "width": 2}]
    trunk = {"name": "body", "kind": "trunk", "path": {"length": 100}, "girth": girth}
    shot = {"method": "core_shot", "core_diameter": 15, "core_length": 89}
    fault = refused({"strands": [trunk], "shot": shot})["/shot/core_diameter"]
    assert "% of the bait's volume" in fault.detail and isinstance(fault.allowed, dict)
    body = {"strands": [trunk], "shot": {**shot, "core_diameter": fault.allowed["maximum"]}}
    answer = estimate(read_request(body))["metrics"]
    diameter, core = fault.allowed["maximum"], answer["shot"]["colours"][1]
    share = math.pi / 4 * diameter**2 * (89 - diameter / 3) / answer["volume_mm3"]
    assert 0.795 < share < 0.8 and core["share_pct"] == pytest.approx(100 * share, rel=1e-5)


def test_a_hollow_bait_has_no_core() -> None:
    faults = refused({"style": "tube", "shot": {"method": "core_shot", "core_diameter": 2}})
    assert {pointer: fault.allowed for pointer, fault in faults.items()} == {
        "/shot/method": {"choices": ["single", "laminate"]}
    }


def test_prices_add_up() -> None:
    prices = {"currency": "EUR", "plastic_per_l": 20, "salt_per_kg": 2, "extras_per_bait": 0.1, "work_per_hour": 36}
    shot = told({"plastic": {"salt_wt_pct": 20}, "shot": {"cost": prices}})
    cost = shot["cost"]
    assert cost["plastic"] == pytest.approx(20 / shot["baits_per_litre"], rel=1e-4)
    assert cost["salt"] == pytest.approx(2 * shot["salt_per_bait_g"] / 1000, rel=1e-4)
    assert cost["work"] == pytest.approx(shot["cycle_s"] / 2 / 100, rel=1e-4)
    assert cost["per_bait"] == pytest.approx(cost["plastic"] + cost["salt"] + 0.1 + cost["work"], rel=1e-5)
    assert told({"shot": {}})["cost"] is None


def shots_in(hours: float, moulds: int, busy: float, cooling: float) -> int:
    """Moulds in turn, step by step: one pair of hands empties and fills each as soon as both are ready."""
    ready, now, shots = [0.0] * moulds, 0.0, 0
    while now < hours * 3600:
        number = min(range(moulds), key=ready.__getitem__)
        now = max(now, ready[number]) + busy
        ready[number] = now + cooling
        shots += 1
    return shots


@pytest.mark.parametrize("moulds", [1, 2, 4, 20])
def test_moulds_in_turn_share_the_wait_until_hands_have_no_pause(moulds: int) -> None:
    shot = told({"shot": {"moulds_in_turn": moulds, "cost": {"work_per_hour": 36}}})
    busy = shot["fill"]["thick"]["seconds"] + 40
    shots = shots_in(1000, moulds, busy, shot["cooling"]["typical_s"])
    assert shot["baits_per_hour"] == pytest.approx(2 * shots / 1000, rel=1e-3)
    assert shot["cost"]["work"] == pytest.approx(36 / shot["baits_per_hour"], rel=1e-4)
    assert shot["cycle_s"] == pytest.approx(busy + shot["cooling"]["typical_s"], rel=1e-5)
    said = [each for each in shot["assumed"] if each.startswith("Work is paid for")]
    assert len(said) == 1 and ("whole cycle of one mould of 2 cavities" in said[0]) == (moulds == 1)
    assert not told({"shot": {"cost": {"plastic_per_l": 20}}})["assumed"]


def test_a_bait_that_takes_more_than_an_hour_is_not_none_an_hour() -> None:
    """3600 s over the cycle: a part of a bait where the cycle is longer."""
    shot = told({"shot": {"handling_s": 3600}}, cavities=1)
    assert shot["cycle_s"] > 3600
    assert shot["baits_per_hour"] == pytest.approx(3600 / shot["cycle_s"], rel=1e-5)


def test_without_a_mould_assumptions_are_told() -> None:
    shot = estimate(read_request({"style": "craw", "shot": {}}))["metrics"]["shot"]
    assert "No mould is asked for" in shot["assumed"][0]
    assert told({"shot": {}})["assumed"] == []


@pytest.mark.parametrize(
    ("members", "material", "how"),
    [
        ({}, "aluminium", "milled"),
        ({"print": {}}, "silicone", "cast"),  # a master's default
        ({"print": {"cast_in": "resin"}}, "resin", "cast"),
        ({"print": {"cast_in": "none"}}, "aluminium", "milled"),
    ],
)
def test_a_master_s_cast_is_the_mould_that_is_poured(members: dict[str, Any], material: str, how: str) -> None:
    answer = estimate(read_request({"style": "craw", "shot": {"pour_temperature_c": 199}, **members}))
    first, *_ = answer["metrics"]["shot"]["assumed"]
    assert first == f"No mould is asked for: one cavity {how} in {material} is assumed."
    insulates = any("insulates" in each for each in answer["metrics"]["shot"]["assumed"])
    assert insulates == (material != "aluminium")
    check = next(each for each in answer["checks"] if each["check"] == "pour_temperature")
    assert (material in check["text"]) == (material != "aluminium")


def test_a_mould_that_is_asked_for_goes_before_the_master_s_cast() -> None:
    body = {"style": "craw", "print": {"cast_in": "silicone"}, "mould": {"material": "plaster"}}
    assert mould_material(read_request(body).normal).name == "plaster"


def test_a_bait_that_nobody_pours_has_no_shot() -> None:
    assert "shot" not in estimate(read_request({"style": "craw"}))["metrics"]


def test_of_an_open_mould_nothing_runs_through_channels() -> None:
    open_one = told(
        {"shot": {}},
        kind="open_pour",
        channels_volume=0.0,
        sprue_volume=0.0,
        gate_width=0.0,
        gate_depth=0.0,
    )
    assert open_one["fill"] is None and open_one["clamp_n"] == 0 and open_one["channels_g"] == 0


def test_what_is_assumed_follows_the_mould_that_is_asked_for() -> None:
    place = Thickest(9.0, 8.0, 56.5)
    none = assumed_mould(6000.0, 900.0, place, 1.02, {})
    asked = assumed_mould(
        6000.0, 900.0, place, 1.02, {"mould": {"kind": "injected", "material": "plaster", "cavities": 4}}
    )
    dipped = assumed_mould(
        6000.0, 900.0, place, 1.02, {"mould": {"kind": "dipped", "material": "aluminium", "cavities": 1}}
    )
    assert none.mould.cavities == 1 and none.mould.material == "aluminium" and none.gated
    assert asked.mould.sprue_volume == pytest.approx(2400) and asked.mould.projected_area == 3600
    assert asked.mould.material == "plaster" and "come with a build" in asked.assumed[0]
    assert not dipped.gated and dipped.mould.shot_volume == 6000
