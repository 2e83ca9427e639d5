"""Glitter: as many flakes as asked, of the size asked, everywhere in the plastic and nowhere else."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.picture.meshes import box, sphere, worm
from worker.picture import Finish, Glitter, prepare, render
from worker.picture.body import Body
from worker.picture.glitter import flake_count, stir

GOLD = (1.0, 0.68, 0.0)
BLACK = (0.0, 0.0, 0.0)


@pytest.mark.parametrize("per_cm3", [0.0, 0.5, 40.0, 400.0])
def test_the_number_is_that_of_the_volume(per_cm3: float) -> None:
    """A block of 50 x 20 x 10 mm holds 10 cm3."""
    flakes = stir(Body(*box(50, 20, 10)), Glitter(GOLD, 0.6, per_cm3))
    assert len(flakes.centre) == len(flakes.normal) == round(10 * per_cm3)


def test_the_volume_is_that_of_the_solid() -> None:
    """4/3 pi r^3, less what 192 sides around leave out."""
    ball = Body(*sphere(10.0, around=192))
    assert ball.volume_mm3 == pytest.approx(4 / 3 * math.pi * 1000, rel=2e-3)
    assert flake_count(ball, Glitter(GOLD, 0.6, 100)) == round(ball.volume_mm3 / 10)


def test_flakes_lie_evenly_through_the_body() -> None:
    """In each eighth of a block as many as chance has it: within four standard deviations of 1,000."""
    flakes = stir(Body(*box(50, 20, 10)), Glitter(GOLD, 0.6, 800))
    eighth = (flakes.centre > 0) @ np.array([1, 2, 4])
    counts = np.bincount(eighth, minlength=8)
    assert np.abs(counts - 1000).max() < 4 * math.sqrt(1000 * 7 / 8)
    # And at every depth: the core of half the size in each direction holds an eighth as well.
    core = (np.abs(flakes.centre) < [12.5, 5, 2.5]).all(axis=1).sum()
    assert abs(core - 1000) < 4 * math.sqrt(1000 * 7 / 8)


def test_flakes_lie_inside_a_round_body_and_in_both_of_two() -> None:
    ball = stir(Body(*sphere(10.0)), Glitter(GOLD, 0.6, 300))
    distance = np.sqrt((ball.centre.astype(float) ** 2).sum(axis=1))
    assert distance.max() < 10.1
    assert (distance < 5).mean() == pytest.approx(1 / 8, abs=0.04)
    one, two = box(10, 10, 10), box(10, 10, 10)
    apart = np.concatenate([one[0], two[0] + [30, 0, 0]]), np.concatenate([one[1], two[1] + len(one[0])])
    both = stir(Body(*apart), Glitter(GOLD, 0.6, 500)).centre[:, 0]
    assert (np.abs(both) > 9.9).all(), "none in the gap"
    assert (both < 0).mean() == pytest.approx(0.5, abs=0.07)


def test_flakes_are_flat_hexagons_of_the_size_asked_turned_every_way() -> None:
    flakes = stir(Body(*worm()), Glitter(GOLD, 0.9, 60))
    corner, centre, normal = (q.astype(float) for q in (flakes.corner, flakes.centre, flakes.normal))
    spoke = corner - centre[:, None]
    assert np.sqrt((spoke**2).sum(axis=2)) == pytest.approx(0.9 / math.sqrt(3), abs=1e-4)
    across = np.sqrt((((corner[:, 0] + corner[:, 1]) - (corner[:, 3] + corner[:, 4])) ** 2).sum(axis=1)) / 2
    assert across == pytest.approx(0.9, abs=1e-4)
    assert np.abs((spoke * normal[:, None]).sum(axis=2)).max() < 1e-4
    assert np.abs(normal.mean(axis=0)).max() < 0.12
    assert (normal**2).mean(axis=0) == pytest.approx([1 / 3] * 3, abs=0.06)


def specks(per_cm3: float, size_mm: float, translucency: float = 0.5) -> int:
    """Pixels that black glitter darkens on a white ball."""
    plain = Finish((0.8, 0.8, 0.8), translucency)
    with_glitter = Finish((0.8, 0.8, 0.8), translucency, Glitter(BLACK, size_mm, per_cm3))
    images = [
        np.asarray(render(*sphere(), finish=finish, view="side", width=240, height=240)).astype(int)
        for finish in (plain, with_glitter)
    ]
    return int(((images[0] - images[1]).sum(axis=2) > 60).sum())


def test_more_and_larger_flakes_cover_more_of_the_picture() -> None:
    few, many = specks(20, 0.6), specks(80, 0.6)
    assert few > 20
    assert 3 < many / few < 5
    assert 3 < specks(20, 1.2) / few < 6
    assert specks(0, 0.6) == 0


def test_flakes_deep_down_show_in_clear_plastic_only() -> None:
    assert specks(40, 0.6, 0.9) > 1.5 * specks(40, 0.6, 0.0) > 0


def flecks(image: NDArray[np.int64], plain: NDArray[np.int64]) -> NDArray[np.float64]:
    """The strongest tenth of the changed pixels, as their mean colour."""
    change = np.abs(image - plain).sum(axis=2)
    strongest = change >= np.percentile(change[change > 40], 90)
    mean: NDArray[np.float64] = image[strongest].mean(axis=0)
    return mean


def test_glitter_has_its_own_colour() -> None:
    plain = np.asarray(render(*sphere(), finish=Finish((0.0, 0.0, 0.0)), width=240, height=240)).astype(int)
    for colour, order in (((1.0, 0.1, 0.05), 0), ((0.05, 0.9, 0.1), 1), ((0.05, 0.1, 1.0), 2)):
        finish = Finish((0.0, 0.0, 0.0), None, Glitter(colour, 0.9, 120))
        image = np.asarray(render(*sphere(), finish=finish, width=240, height=240)).astype(int)
        assert np.argmax(flecks(image, plain)) == order


def test_the_flakes_stay_where_they_are_from_view_to_view_and_time_to_time() -> None:
    finish = Finish((0.2, 0.4, 0.1), None, Glitter(GOLD, 0.6, 40))
    first, second = prepare(*worm(), finish).flakes, prepare(*worm(), finish).flakes
    assert first is not None and second is not None
    assert np.array_equal(first.corner, second.corner)
