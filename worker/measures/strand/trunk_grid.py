"""The grid on which integrals over a trunk of several strands are taken, and its sections there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from worker.measures.strand.trunk_section import Sections, place_of, trunk_sections
from worker.strands.roots import Array
from worker.strands.strand import Strand

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)
_TURN = np.pi / 2 * _NODES


def trunk_grid(trunk: Sequence[Strand], begin: float | None = None) -> tuple[Array, Array]:
    """Stations along x and weights for integrals over a trunk of several strands, from `begin` on."""
    marks = np.unique(np.concatenate([place_of(strand, strand.body.ends) for strand in trunk]))
    marks = marks[np.concatenate([[True], np.diff(marks) > 1e-6])]
    if begin is not None:
        marks = np.concatenate([[begin], marks[marks > begin]])
    half = np.diff(marks)[:, None] / 2
    at = (marks[:-1] + marks[1:])[:, None] / 2 + half * np.sin(_TURN)
    return at.ravel(), (half * (np.pi / 2 * np.cos(_TURN) * _WEIGHTS)).ravel()


def sections_from(trunk: Sequence[Strand], begin: float | None = None) -> tuple[Array, Array, Sections]:
    """The grid from `begin` on, and the trunk's sections there.

    Bending asks from where the bait is held, water from the nose: but for the stretch that is cut they are the same.
    """
    at, weight = trunk_grid(trunk, begin)
    whole = _of_all(tuple(trunk))
    if begin is None:
        return at, weight, whole
    later = max(len(at) - len(_NODES), 0)
    first = trunk_sections(trunk, at[: len(at) - later])
    return at, weight, Sections.together(first, whole.last(later))


@lru_cache(maxsize=4)
def _of_all(trunk: tuple[Strand, ...]) -> Sections:
    return trunk_sections(trunk, trunk_grid(trunk)[0])
