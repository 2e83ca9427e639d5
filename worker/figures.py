"""The `metrics` of an answer: figures at 6 significant digits, from the strands and, in a build, from the solid."""

from __future__ import annotations

from typing import Any

import numpy as np

from worker.checks.answer import graded
from worker.checks.joint_pull import CAUTION_SHARE
from worker.checks.subject import Subject
from worker.handling import handling_figures
from worker.measures.strand.joints import JointGroup
from worker.measures.strand.laid_straight import laid_straight
from worker.values.parameter import six_digits


def body_figures(
    *, length: float, width: float, height: float, volume: float, surface: float, pieces: int
) -> dict[str, Any]:
    """Size of the bait; mm, mm2, mm3."""
    return {
        "length_mm": six_digits(length),
        "max_width_mm": six_digits(width),
        "max_height_mm": six_digits(height),
        "volume_mm3": six_digits(volume),
        "surface_mm2": six_digits(surface),
        "pieces": pieces,
    }


def estimated_body(subject: Subject) -> dict[str, Any]:
    """The body's figures by arithmetic."""
    size = subject.size
    return body_figures(
        length=size.length,
        width=size.max_width,
        height=size.max_height,
        volume=size.volume,
        surface=size.surface,
        pieces=subject.pieces,
    )


def metrics_of(subject: Subject, body: dict[str, Any]) -> dict[str, Any]:
    """All metrics: the body's, given, and what follows from them and from the strands."""
    volume_cm3, density = body["volume_mm3"] / 1000, subject.plastic.density
    ratio, thinnest = subject.flexibility_ratio, subject.thinnest
    joints = [] if subject.pieces > 1 and len(subject.joints) == 0 else _joints(subject)
    weakest = subject.weakest
    return {
        **body,
        "laid_straight_mm": six_digits(laid_straight(subject.strands, body["length_mm"])),
        "mass_g": six_digits(volume_cm3 * density.typical),
        "mass_low_g": six_digits(volume_cm3 * density.low),
        "mass_high_g": six_digits(volume_cm3 * density.high),
        "joints": joints,
        "weakest_joint": None if weakest is None else {**joints[weakest], "view": "plane"},
        "flexibility_ratio": None if ratio is None else six_digits(ratio),
        "thinnest_mm": {
            "across": six_digits(thinnest.across),
            "strand": thinnest.strand,
            "station_mm": six_digits(thinnest.station),
        },
        **handling_figures(subject, body["volume_mm3"]),
    }


def _joints(subject: Subject) -> list[dict[str, Any]]:
    listed: list[dict[str, Any]] = []
    for group in subject.joint_groups:
        joints = group.joints
        columns = zip(
            group.kinds,
            joints.station.tolist(),
            joints.area.tolist(),
            joints.diameter.tolist(),
            joints.factor.tolist(),
            joints.pull.tolist(),
            joints.pull_low.tolist(),
            joints.pull_high.tolist(),
            joints.out_of_range.tolist(),
            group.limits.tolist(),
            group.helped or (False,) * len(joints),
            strict=True,
        )
        centres = _centres(subject, group)
        first = len(listed)
        for kind, station, area, diameter, factor, pull, low, high, out_of_range, limit, helped in columns:
            joint = {
                "joint": len(listed) + 1,
                "strand": group.strand,
                "kind": kind,
                "station_mm": six_digits(station),
                "area_mm2": six_digits(area),
                "equivalent_diameter_mm": six_digits(diameter),
                "notch_factor": six_digits(factor),
                "pull_n": six_digits(pull),
                "pull_low_n": six_digits(low),
                "pull_high_n": six_digits(high),
                "limit_n": six_digits(limit),
                "verdict": graded(pull, limit, CAUTION_SHARE * limit),
            }
            if notes := [words for words, holds in ((_OUT_OF_RANGE, out_of_range), (_HELPED, helped)) if holds]:
                joint["note"] = " ".join(notes)
            if centres:
                joint["centre_mm"] = centres[len(listed) - first]
            listed.append(joint)
    return listed


def _centres(subject: Subject, group: JointGroup) -> list[list[float]]:
    """Where a trunk's joints lie, as the bait's points are told, mm; none where their stations say as much: of a trunk
    that runs straight back from the nose, and of several strands, whose stations are counted along x.
    """
    trunk = subject.trunk_strands
    if len(trunk) > 1 or (group.strand_kind != "trunk" and "ligament" not in group.kinds):
        return []
    path = trunk[0].path
    if path.straight and not path.frames(np.zeros(1))[0][0].any():
        return []
    points = path.frames(np.clip(group.joints.station, 0.0, path.length))[0]
    return [[six_digits(each) for each in point] for point in points.tolist()]


_OUT_OF_RANGE = "The notch is deeper for its radius than the published factors go; the factor is held there."
_HELPED = (
    "Limbs that lie over it are counted by the least way through them, without the flares of their roots, and in the "
    "low pull not at all: that errs to the safe side, cuts through solids have found up to a fifth more."
)
