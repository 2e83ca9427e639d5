"""The master: scaled volumes, stubs and flats against closed forms; overhang of bodies whose share is known."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import trimesh

from tests.shop.made import NO_SHRINKAGE, subject
from worker.build import build
from worker.checks.subject import Subject
from worker.estimate import estimate
from worker.files.stl import HEADER
from worker.master.figures import master_figures
from worker.master.overhang import WAYS, Orientation, best, orientations
from worker.master.picture import master_svg
from worker.master.printing import box_fits, lies_on
from worker.request import read_request
from worker.solid.join import joined
from worker.solid.master import master_of
from worker.solid.solid import Solid
from worker.values.shrinkage import master_scale

PRINT = read_request({"style": "beaded_worm", "print": {}}).normal["print"]
OWN = {"grade": "soft", "name": "kettle", "properties": {"shrinkage": NO_SHRINKAGE}}
AS_IT_IS = {"cast_in": "none", "print_shrinkage_pct": 0}


def master(style: str, asked: dict[str, Any], **members: Any) -> tuple[Solid, Solid, Subject]:
    """The bait's solid and its master's."""
    one = subject(style, print=asked, **members)
    bait = joined(one.strands, one.request.tolerance, one.hollows)
    return bait, master_of(bait, master_scale(one.request.normal), one.request.normal["print"]), one


def test_a_master_is_larger_by_all_that_shrinks_after_it() -> None:
    """Plastic 3 %, mould 0.5 %, print 1 %: 1 / (0.97 * 0.995 * 0.99) of each length, its cube of the volume."""
    own = {"low": 3, "typical": 3, "high": 3}
    plastic = {"grade": "soft", "name": "kettle", "properties": {"shrinkage": own}}
    bait, grown, _ = master("craw", {"mould_shrinkage_pct": 0.5, "print_shrinkage_pct": 1}, plastic=plastic)
    scale = 1 / (0.97 * 0.995 * 0.99)
    assert grown.extent == pytest.approx([scale * side for side in bait.extent], abs=2e-5)
    assert grown.volume == pytest.approx(scale**3 * bait.volume, rel=1e-6)
    assert len(grown.parts) == 1


def test_a_flat_takes_a_segment_off_a_round_rod() -> None:
    """Of a cylinder pi r^2 L: the circle's segment r^2 acos((r - h) / r) - (r - h) sqrt(2 r h - h^2), times L."""
    bait, flat, one = master("bend_rod", {**AS_IT_IS, "base": "flat", "flat_depth": 0.6}, plastic=OWN)
    radius, length = bait.extent[2] / 2, bait.extent[0]
    segment = radius**2 * math.acos((radius - 0.6) / radius) - (radius - 0.6) * math.sqrt(2 * radius * 0.6 - 0.36)
    # The rod's ends are round or level as the style has them: what the flat takes there is less than one radius' worth.
    taken = bait.volume - flat.volume
    assert segment * (length - 2 * radius) < taken <= segment * length * 1.005
    assert flat.extent[2] == pytest.approx(bait.extent[2] - 0.6, abs=1e-4)
    assert one.request.normal["print"]["base"] == "flat"


@pytest.mark.parametrize("end", ["nose", "tail"])
def test_a_stub_stands_out_by_its_length(end: str) -> None:
    asked = {**AS_IT_IS, "base": "stub", "stub_at": end, "stub_diameter": 5, "stub_length": 15}
    bait, stubbed, _ = master("stick_worm", asked, plastic=OWN)
    assert stubbed.extent[0] == pytest.approx(bait.extent[0] + 15, abs=1e-4)
    # pi r^2 L outside, and at the most one diameter more beside the round end that it stands in.
    assert math.pi * 6.25 * 15 * 0.999 <= stubbed.volume - bait.volume <= math.pi * 6.25 * 20
    assert len(stubbed.parts) == 1
    low, high = (float(pick(stubbed.vertices[:, 0])) for pick in (np.min, np.max))
    first, last = (float(pick(bait.vertices[:, 0])) for pick in (np.min, np.max))
    assert (first - low, high - last) == pytest.approx((15, 0) if end == "nose" else (0, 15), abs=1e-4)


@pytest.mark.parametrize("angle", [30.0, 45.0, 60.0])
def test_of_a_ball_a_cap_hangs_over_whichever_way_is_up(angle: float) -> None:
    """A cap's share of a sphere's area is (1 - sin a) / 2 (Archimedes)."""
    ball = trimesh.creation.icosphere(subdivisions=5, radius=20)
    asked = {**PRINT, "overhang_deg": angle, "layer": 1e-6}
    found = orientations(np.asarray(ball.vertices), np.asarray(ball.faces), asked)
    assert len(found) == len(WAYS) == 26
    for each in found:
        assert each.overhang == pytest.approx((1 - math.sin(math.radians(angle))) / 2, abs=0.004)
        assert each.height == pytest.approx(40, abs=0.05)


def cone() -> list[Orientation]:
    """A wide cone, 20 mm in radius and 10 high, its point up: r / s = 20 / sqrt(500)."""
    made = trimesh.creation.cone(radius=20, height=10, sections=256)
    return orientations(np.asarray(made.vertices, dtype=float), np.asarray(made.faces), PRINT)


def test_a_cone_stands_on_its_base() -> None:
    """Standing on its base nothing hangs over; on its point its whole mantle does: s / (s + r) of the surface."""
    found = {each.name: each for each in cone()}
    slant = math.sqrt(500)
    assert found["back up"].overhang == pytest.approx(0, abs=1e-6)
    assert found["belly up"].overhang == pytest.approx(slant / (slant + 20), rel=1e-3)
    assert best(list(found.values())).name == "back up"


def test_the_best_way_up_fits_the_printer() -> None:
    low = {**PRINT, "bed": {"length": 45.0, "width": 45.0, "height": 60.0}}
    made = trimesh.creation.box(extents=(100, 10, 10))
    found = orientations(np.asarray(made.vertices, dtype=float), np.asarray(made.faces), low)
    assert not any(each.fits for each in found)
    tall = {**PRINT, "bed": {"length": 120.0, "width": 45.0, "height": 60.0}}
    chosen = best(orientations(np.asarray(made.vertices, dtype=float), np.asarray(made.faces), tall))
    assert chosen.fits and chosen.overhang == 0 and chosen.height == pytest.approx(10)


def test_a_bed_takes_what_lies_across_its_corners() -> None:
    """A rod 1 mm wide on a square of 100: at 45 degrees (L + 1) / sqrt 2 has to be 100, so L = 140.4."""
    square = {"length": 100.0, "width": 100.0, "height": 5.0}
    assert lies_on(square, 140.4, 1.0) and not lies_on(square, 140.6, 1.0)
    assert box_fits(square, (4.0, 140.4, 1.0)) and not box_fits(square, (6.0, 140.4, 6.0))


def test_a_wall_that_does_not_print_fails_and_its_remedies_hold() -> None:
    body = {"style": "craw", "print": {"nozzle": 0.8}}
    check = next(each for each in estimate(read_request(body))["checks"] if each["check"] == "master_wall")
    assert check["verdict"] == "fail" and check["limit"] == pytest.approx(1.6)
    assert len(check["remedies"]) == 2
    request = read_request(body)
    for remedy in check["remedies"]:
        mended = estimate(request.changed(remedy["patch"]))["checks"]
        assert next(each for each in mended if each["check"] == "master_wall")["verdict"] == "pass"


def test_a_bed_that_is_too_small_fails_and_its_remedy_holds() -> None:
    request = read_request({"style": "craw", "print": {"bed": {"length": 60, "width": 60, "height": 60}}})
    check = next(each for each in estimate(request)["checks"] if each["check"] == "master_bed")
    assert check["verdict"] == "fail" and check["value"] > 1
    mended = estimate(request.changed(check["remedies"][0]["patch"]))["checks"]
    assert next(each for each in mended if each["check"] == "master_bed")["verdict"] == "pass"


def test_the_master_s_files_and_figures_tell_one_thing() -> None:
    built = build(read_request({"style": "craw", "outputs": ["master"], "detail": "coarse"}))
    told = built.metrics["master"]
    data = built.files["master.stl"]
    assert data.startswith(HEADER) and len(data) == 84 + 50 * told["triangles"]
    mesh = trimesh.load(trimesh.util.wrap_as_stream(data), file_type="stl")
    assert mesh.is_watertight and mesh.volume == pytest.approx(told["volume_mm3"], rel=1e-5)
    assert mesh.extents[0] == pytest.approx(told["length_mm"], abs=0.01)
    drawn = built.files["master.svg"].decode()
    for place in told["thin_places"]:
        assert f">{place['place']}: {place['across_mm']:.3g} mm in the {place['strand']}, prints<" in drawn
        assert drawn.count(f">{place['place']}</text>") >= 2
    assert told["best"]["way"] in drawn


def test_a_stub_or_a_flat_is_told_on_the_drawing() -> None:
    one = subject("craw", print={"base": "stub"})
    size = (one.size.length, one.size.max_width, one.size.max_height)
    assert (
        "A round stub at the nose, 6 mm thick and 12 mm long"
        in master_svg(one, {"master": master_figures(one, size)}).decode()
    )
