"""The shrimp: an arched abdomen of plates, exactly its length however far it arches, and every limb by its number."""

from __future__ import annotations

import numpy as np
import pytest

from tests.styles.limbed import leaves, outer_length, solid_of, strands_of, subject_of, tip
from worker.figures import estimated_body, metrics_of
from worker.measures.strand.extent import extent_of
from worker.solid.trunk import solid_of as solid_of_strand
from worker.strands.vectors import cross
from worker.styles import STYLES
from worker.styles.shrimp_body import ShrimpBody

DEFAULTS = STYLES["shrimp"].defaults()


@pytest.mark.parametrize("arch", [0, 60, 110])
def test_it_is_as_long_as_asked_however_far_it_arches(arch: float) -> None:
    solid = solid_of("shrimp", arch=arch, length=80, carapace_height=13, carapace_width=10)
    assert solid.extent[0] == pytest.approx(80, abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)
    assert (len(solid.parts), solid.through_holes) == (1, 0)


@pytest.mark.parametrize("changes", [{"horn": 0, "feelers": 0}, {"horn": 0, "feelers": 2}])
def test_its_length_counts_what_reaches_furthest_ahead(changes: dict[str, float]) -> None:
    solid = solid_of("shrimp", tolerance=0.02, **changes)
    assert solid.extent[0] == pytest.approx(75, abs=0.02)
    assert solid.vertices[:, 0].min() == pytest.approx(0, abs=0.02)


def test_feelers_end_ahead_of_the_fan() -> None:
    """They trail along the body and so do not count at the rear: longer ones than that are refused."""
    strands = strands_of("shrimp", feeler_length=60)
    reach = {name: float(extent_of(strand)[1][0]) for name, strand in strands.items()}
    assert reach["left feeler 1"] < reach["middle fan lobe"] == pytest.approx(75, abs=1e-3)


def test_straight_the_carapace_is_its_share_of_the_length() -> None:
    subject = subject_of("shrimp", arch=0, carapace=40)
    gaps, trunk = subject.trunk.body.relief.gaps.station, subject.trunk
    first = float(trunk.path.frames(np.array([gaps[0]]))[0][0, 0])
    nose = float(extent_of(trunk)[0][0])
    # The neck lies at the foot of the carapace's edge, within the round of its corner.
    assert first - nose == pytest.approx(0.40 * 75, abs=0.35)


@pytest.mark.parametrize("segments", [4, 6, 8])
def test_a_plate_a_segment_of_equal_length(segments: int) -> None:
    body = subject_of("shrimp", segments=segments, swimmerets=0).trunk.body
    assert len(body.relief.gaps.station) == segments
    steps = np.diff(body.relief.gaps.station)
    assert steps == pytest.approx([steps.mean()] * (segments - 1), rel=0.02)


def test_edges_stand_over_the_next_plate_and_look_to_the_tail() -> None:
    subject = subject_of("shrimp", plate_depth=0.6)
    side = subject.trunk.body.side
    for gap in side.gaps.station:
        around = gap + 1.2 * (np.arange(481) / 480 - 0.5)
        heights = side.height(around)
        falls = np.diff(heights)
        assert -falls.min() > 3 * falls.max(), "it falls at once, and rises slowly"
        smooth = subject.trunk.smooth.side.height(np.array([gap]))[0]
        assert smooth - heights.min() == pytest.approx(0.6, abs=0.12)


def test_the_carapace_is_as_high_and_wide_as_asked() -> None:
    trunk = subject_of("shrimp", carapace_height=12.5, carapace_width=10.5, arch=0, horn=0).trunk
    low, high = extent_of(trunk)
    assert high[1] - low[1] == pytest.approx(10.5, abs=0.01)
    assert high[2] - low[2] == pytest.approx(12.5, abs=0.01)


@pytest.mark.parametrize("arch", [20, 60, 110])
def test_an_arched_trunk_has_the_volume_of_the_straight_one(arch: float) -> None:
    # Pappus and Guldin: sections square to a plane curve through their centroids sweep area times length.
    straight, arched = (solid_of_strand(_with_same_lengths(angle).trunk, 0.02).volume for angle in (0.0, float(arch)))
    assert arched == pytest.approx(straight, rel=5e-4)


def _with_same_lengths(arch: float) -> ShrimpBody:
    """A body whose carapace and abdomen are 26 and 34 mm long, arched or not."""
    body = ShrimpBody({**DEFAULTS, "arch": arch}, 34.0)
    body.__dict__["carapace"] = 26.0
    return body


def test_the_fan_turns_with_the_abdomen() -> None:
    for arch in (0.0, 50.0, 90.0):
        lobe = strands_of("shrimp", arch=arch)["middle fan lobe"]
        way = tip(lobe) - leaves(lobe)
        assert np.degrees(np.arctan2(-way[2], way[0])) == pytest.approx(arch, abs=0.5)


@pytest.mark.parametrize(("lobes", "names"), [
    (1, {"middle fan lobe"}),
    (2, {"left fan lobe 1", "right fan lobe 1"}),
    (5, {"middle fan lobe", *(f"{side} fan lobe {number}" for side in ("left", "right") for number in (1, 2))}),
])  # fmt: skip
def test_lobes_of_the_fan(lobes: int, names: set[str]) -> None:
    strands = strands_of("shrimp", fan_lobes=lobes, fan_spread=40)
    assert {name for name in strands if "fan" in name} == names
    _, left, back = strands[max(names)].path.frames(np.array([0.0]))
    ahead = cross(left, back)[0]
    outermost = 40.0 if lobes > 1 else 0.0
    assert np.degrees(np.arcsin(abs(ahead[1]))) == pytest.approx(outermost, abs=0.5)


def test_limbs_are_as_many_and_as_long_as_asked() -> None:
    strands = strands_of("shrimp", leg_pairs=4, leg_length=11, swimmerets=3, feelers=1, feeler_length=44)
    lefts = [name for name in strands if name.startswith("left")]
    assert sum("leg" in name for name in lefts) == 4 and sum("swimmeret" in name for name in lefts) == 3
    assert outer_length(strands["left leg 2"]) == pytest.approx(11, abs=0.4)
    assert outer_length(strands["left feeler 1"]) == pytest.approx(44, abs=0.4)
    assert all(tip(strands[name])[2] < leaves(strands[name])[2] for name in lefts if "leg" in name)


@pytest.mark.parametrize("changes", [{"horn": 1, "eye_stalks": 1, "feelers": 0}, {"leg_pairs": 0, "swimmerets": 0}])
def test_parts_can_be_left_out(changes: dict[str, float]) -> None:
    solid = solid_of("shrimp", tolerance=0.05, **changes)
    assert (len(solid.parts), solid.through_holes) == (1, 0)
    assert solid.extent[0] == pytest.approx(75, abs=0.05)


def test_a_bore_at_the_nose_takes_no_length() -> None:
    solid = solid_of("shrimp", tolerance=0.02, horn=0, feelers=0, jig_bore=2)
    assert solid.extent[0] == pytest.approx(75, abs=0.02)


def test_a_weight_goes_in_at_the_nose_and_a_slot_along_the_belly() -> None:
    plain = solid_of("shrimp", tolerance=0.05)
    solid = solid_of("shrimp", tolerance=0.05, weight_bore=2.4, weight_bore_length=12, hook_slot="belly")
    assert len(solid.parts) == 1
    assert plain.volume - solid.volume > 0.8 * np.pi * 1.44 * 12


@pytest.mark.parametrize("arch", [0, 100])
def test_its_joints_are_told_where_they_lie_along_the_bait(arch: float) -> None:
    """Stations run along the arch from the carapace; the bait begins ahead of that, with its horn. Straight, a joint
    lies behind its station by what the horn reaches ahead; arched, none lies behind the bait's end, as stations do.
    """
    subject = subject_of("shrimp", arch=arch, length=114.3)
    joints = [one for one in metrics_of(subject, estimated_body(subject))["joints"] if one["strand"] == "trunk"]
    ahead = float(subject.trunk_strands[0].path.frames(np.zeros(1))[0][0, 0])
    along = [one["centre_mm"][0] for one in joints]
    if not arch:
        assert along == pytest.approx([one["station_mm"] + ahead for one in joints], abs=1e-3)
        assert ahead > 5
    else:
        assert max(one["station_mm"] for one in joints) > 114.3 > max(along)
        assert along == sorted(along)


def test_a_straight_trunk_s_joints_lie_at_their_stations() -> None:
    subject = subject_of("ribbed_worm")
    assert not any("centre_mm" in one for one in metrics_of(subject, estimated_body(subject))["joints"])
