"""A bait's solid with and without its flares: what they add is told apart from what arithmetic says of them."""

from __future__ import annotations

from dataclasses import replace

from worker.checks.subject import Subject
from worker.solid.join import joined
from worker.solid.solid import Solid


def without_flares(subject: Subject, tolerance: float) -> Solid:
    """Its solid, each limb entering its parent without a round."""
    strands = [
        strand if strand.root is None else replace(strand, root=replace(strand.root, blend=0.0))
        for strand in subject.strands
    ]
    return joined(strands, tolerance, subject.hollows)
