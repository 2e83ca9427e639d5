"""Strands that would fold or run into themselves: told as faults before any work, with the radius that would do."""

from __future__ import annotations

from collections.abc import Iterator

from worker.errors import Fault
from worker.strands.self_meeting import runs_into_itself
from worker.strands.strand import Strand
from worker.strands.turning import too_tight


def turn_faults(strand: Strand, pointer: str) -> Iterator[Fault]:
    """The fault of one strand's path for its girth, if it has one; `pointer` names the parameter to change."""
    turn = too_tight(strand)
    if turn is not None:
        detail = (
            f"The {strand.name} turns on a radius of {turn.radius:.3g} mm, {turn.station:.3g} mm from its root, "
            f"and is too thick for it there: a radius of {turn.needed:.3g} mm would do."
        )
        yield Fault(pointer, "turns-too-tight", detail, None)
        return
    meeting = runs_into_itself(strand)
    if meeting is not None:
        detail = (
            f"The {strand.name} runs into itself: {meeting.other:.3g} mm from its root it comes back to within "
            f"{meeting.apart:.3g} mm of where it is at {meeting.station:.3g} mm; {meeting.needed:.3g} mm would do."
        )
        yield Fault(pointer, "runs-into-itself", detail, None)
