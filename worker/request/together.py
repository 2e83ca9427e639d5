"""What a request hangs on its bait or pours into it, and the bait has no room for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from worker.errors import Fault
from worker.measures.hook.rig import rig_faults
from worker.shot.colours import core_faults
from worker.strands.strand import Strand


def faults_on(normal: Mapping[str, Any], trunk: tuple[Strand, ...]) -> Iterator[Fault]:
    """Of the rig and of a core shot, on the trunk of a request in normal form."""
    yield from rig_faults(normal.get("rig"), trunk)
    yield from core_faults(normal.get("shot"), trunk[0])
