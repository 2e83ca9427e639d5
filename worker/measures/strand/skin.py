"""The skin of a strand, end faces and all, by two numbers: a place along it and an angle around it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.extent import bunched_stations
from worker.measures.strand.places import places_in
from worker.strands.roots import Array
from worker.strands.strand import Strand

STEPS, HAIR = 64, 1e-9
"""Stretches of the first look along a strand; how far inside of one of several runs its end is looked at, mm."""


@dataclass(frozen=True)
class Skin:
    """Knots along a strand's skin: `station` of each, mm, and its `share` of the section's reach; (k,).

    The share is 0 in the middle of an end face and 1 from its rim on. A place along the skin is a number of knots, and
    fractions lie evenly between two; `begins` are the knots at which a stretch to the next one begins, (m,).
    """

    strand: Strand
    station: Array
    share: Array
    begins: NDArray[np.int64]

    def places(self, along: Array, angle: Array) -> Array:
        """Points (n, m, k, 3), mm, at places (n, m) along the skin and angles (n, k) around it.

        Angles in radians, from the left over the back.
        """
        knots = np.arange(len(self.station))
        station, share = (np.interp(along.ravel(), knots, values) for values in (self.station, self.share))
        a, b, c = (np.repeat(size, angle.shape[1]) for size in self.strand.body.sizes(station))
        turned = np.repeat(angle, along.shape[1], axis=0).ravel()
        cosine, sine = np.cos(turned), np.sin(turned)
        left, up = a * cosine, np.where(sine >= 0, b, c) * sine
        # Of an ellipse this is the rim already; of any other section the rim lies that much further out.
        over = np.maximum(1 + self.strand.section.beyond(a, b, c, left, up), HAIR)
        share = np.repeat(share, angle.shape[1]) / over
        aside, upward = ((part * share).reshape(len(station), -1) for part in (left, up))
        points = places_in(self.strand.path.frames(station), aside, upward)
        return points.reshape(*along.shape, angle.shape[1], 3)


def skin_of(strand: Strand) -> Skin:
    """The skin of every run of a strand."""
    every, runs = bunched_stations(strand.body, STEPS), strand.body.runs
    hair = HAIR if len(runs) > 1 else 0.0
    stations, shares, begins, first = [], [], [], 0
    for begin, end in runs:
        inner = every[(every > begin + 1e-6) & (every < end - 1e-6)]
        ends = (begin + hair, end - hair)
        stations.append(np.concatenate([[ends[0], ends[0]], inner, [ends[1], ends[1]]]))
        shares.append(np.concatenate([[0.0], np.ones(len(inner) + 2), [0.0]]))
        begins.append(first + np.arange(len(inner) + 3))
        first += len(inner) + 4
    return Skin(strand, np.concatenate(stations), np.concatenate(shares), np.concatenate(begins))
