"""The `master` of an answer's metrics: scale, shrinkages, thin places and, in a build, the way up that prints best."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from worker.checks.places import Thinnest
from worker.checks.subject import Subject
from worker.master.overhang import NAMED, Orientation, best, orientations
from worker.master.printing import least_wall, master_size
from worker.measures.hook.along import place_along
from worker.strands.roots import Array
from worker.values.parameter import six_digits
from worker.values.shrinkage import master_scale, of_cast, of_plastic, of_print

MOST_PLACES = 9


@dataclass(frozen=True, slots=True)
class ThinPlace:
    """A thin place of the master: its number on the picture, mm across, and where it lies on the bait, mm."""

    number: int
    across: float
    of: Thinnest
    at: tuple[float, float, float]


def thin_places(subject: Subject) -> list[ThinPlace]:
    """The thinnest place of the trunk and of every kind of limb, the thinnest first."""
    if subject.pieces > 1:
        return []
    scale = master_scale(subject.request.normal)
    found = sorted(subject.thin_places, key=lambda each: round(each.across, 9))[:MOST_PLACES]
    return [ThinPlace(n, scale * each.across, each, _at(subject, each)) for n, each in enumerate(found, start=1)]


def _at(subject: Subject, place: Thinnest) -> tuple[float, float, float]:
    limb = next((each for each in subject.limbs if each.name == place.strand), None)
    if limb is None:
        point = place_along(subject.trunk_strands, place.station)[0]
    else:
        point = limb.path.frames(np.array([place.station]))[0][0]
    return float(point[0]), float(point[1]), float(point[2])


def master_figures(subject: Subject, size: tuple[float, float, float]) -> dict[str, Any]:
    """By arithmetic, for a bait of `size` mm; the request has to have its `print`."""
    normal = subject.request.normal
    asked, least = normal["print"], least_wall(normal["print"])
    steps = {"plastic": of_plastic(normal), "mould": of_cast(asked), "print": of_print(asked)}
    length, width, height = master_size(asked, size, master_scale(normal))
    return {
        "scale": six_digits(master_scale(normal)),
        "shrinkages": [
            {"of": name, "per_cent": six_digits(each.per_cent), "source": each.source} for name, each in steps.items()
        ],
        "length_mm": six_digits(length),
        "width_mm": six_digits(width),
        "height_mm": six_digits(height),
        "least_wall_mm": six_digits(least),
        "thin_places": [_place(each, least) for each in thin_places(subject)],
    }


def _place(each: ThinPlace, least: float) -> dict[str, Any]:
    return {
        "place": each.number,
        "strand": each.of.strand,
        "station_mm": six_digits(each.of.station),
        "across_mm": six_digits(each.across),
        "prints": each.across >= least * (1 - 1e-9),
    }


def printed_figures(subject: Subject, vertices: Array, triangles: NDArray[np.int64], volume: float) -> dict[str, Any]:
    """Of the master's own mesh: what a build alone can tell."""
    asked = subject.request.normal["print"]
    every = orientations(vertices, triangles, asked)
    least = best(every)
    return {
        "volume_mm3": six_digits(volume),
        "triangles": len(triangles),
        "orientations": list(_ways(every)),
        "best": _way(least, asked["layer"]),
    }


def _ways(every: Iterable[Orientation]) -> Iterable[dict[str, Any]]:
    """Those along the axes."""
    return ({"way": each.name, "overhang_pct": six_digits(100 * each.overhang)} for each in every if _named(each))


def _named(each: Orientation) -> bool:
    return each.name in NAMED.values()


def _way(each: Orientation, layer: float) -> dict[str, Any]:
    return {
        "way": each.name,
        "up": [six_digits(part) for part in each.up],
        "overhang_pct": six_digits(100 * each.overhang),
        "height_mm": six_digits(each.height),
        "layers": int(np.ceil(each.height / layer - 1e-6)),
        "footprint_mm": [six_digits(side) for side in each.footprint],
        "fits": each.fits,
    }
