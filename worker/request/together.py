"""What a request hangs on its bait or pours into it, and the bait has no room for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.measures.hook.rig import rig_faults
from worker.measures.strand.hollows import taken_out
from worker.measures.strand.whole import size_of_all
from worker.shot.colours import core_faults
from worker.strands.strand import Strand
from worker.styles.bait import Bait


def faults_on(
    normal: Mapping[str, Any], trunk: tuple[Strand, ...], hollows: Sequence[Strand], volume: Callable[[], float]
) -> Iterator[Fault]:
    """Of the rig and of a core shot, on the trunk of a request in normal form.

    `volume` gives the bait's, mm3, less its `hollows`.
    """
    yield from rig_faults(normal.get("rig"), trunk)
    yield from core_faults(normal.get("shot"), trunk, hollows, volume)


def faults_of(normal: Mapping[str, Any], bait: Bait) -> Iterator[Fault]:
    """The same on a bait of which nothing is known yet."""
    strands, hollows, known = bait.strands(), bait.hollows(), bait.taken()
    trunk = tuple(strand for strand in strands if not strand.limb)

    def volume() -> float:
        unknown = tuple(each for each in hollows if each.name not in known.names)
        limbs = tuple(strand for strand in strands if strand.limb)
        return size_of_all(trunk, limbs).volume - taken_out(unknown, strands)[0] - known.volume

    return faults_on(normal, trunk, hollows, volume)
