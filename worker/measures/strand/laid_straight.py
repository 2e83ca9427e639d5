"""The length of a bait whose tails are laid straight, as makers measure one that curls."""

from __future__ import annotations

from collections.abc import Sequence

from worker.strands.strand import Strand


def laid_straight(strands: Sequence[Strand], length: float) -> float:
    """From the nose along the body and the longest tail to its tip, mm; never less than the bait's own `length`.

    A tail counts from where it leaves what it grows out of, and that up to there.
    """
    by_name = {strand.name: strand for strand in strands}

    def up_to(strand: Strand, station: float) -> float:
        root = strand.root
        return station if root is None else up_to(by_name[root.parent], root.station) + station - root.leaves

    along = [strand for strand in strands if strand.kind == "tail" or not strand.limb]
    return max(length, *(up_to(strand, strand.path.length) for strand in along))
