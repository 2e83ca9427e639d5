"""How much more skin a bait's mesh has than the bait: its rings keep the sections' areas, and so are longer around."""

from __future__ import annotations

from dataclasses import replace

from worker.checks.subject import Subject
from worker.measures.strand.union import whole_of
from worker.solid.join import bodies, meshes_of


def skin_of_facets(subject: Subject, tolerance: float) -> float:
    """Skin of all strands' meshes, each by itself, over the strands' own by their outlines."""
    # A limb's mesh has its flare, which is none of its outline's.
    strands = [replace(strand, root=None) for strand in subject.strands]
    meshes = bodies(meshes_of(strands, tolerance))
    return sum(float(body.surface_area()) for body in meshes) / sum(whole_of(strand)[1] for strand in subject.strands)
