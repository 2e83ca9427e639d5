"""What is possible singly but not together in the open form: found before any work, every one that can be told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.open_form.faults.hollows import hollow_faults, named_strands
from worker.open_form.faults.left import left_faults
from worker.open_form.faults.made import made_faults
from worker.open_form.faults.names import name_faults
from worker.open_form.faults.reliefs import relief_faults
from worker.open_form.faults.shapes import shape_faults, station_faults
from worker.open_form.frames import Frame
from worker.open_form.paths import apart, path_of
from worker.open_form.tree import Made

Told = Mapping[str, Any]


def faults_of(told: Sequence[Told], taken_out: Sequence[Told], made: Callable[[], Made]) -> Iterator[Fault]:
    """Faults of names first; where there are none those of numbers; where there are none those of the strands made."""
    looks: tuple[Callable[[], Iterator[Fault]], ...] = (
        lambda: name_faults(told),
        lambda: named_strands(told, taken_out),
        lambda: _of_numbers(told),
        lambda: made_faults(told, made()),
        lambda: hollow_faults(told, taken_out, made().copies),
        lambda: left_faults(told, taken_out, made().copies),
    )
    for look in looks:
        found = list(look())
        yield from found
        if found:
            return


def _of_numbers(told: Sequence[Told]) -> Iterator[Fault]:
    for number, each in enumerate(told):
        found = list(shape_faults(each, f"/strands/{number}"))
        yield from found or relief_faults(each, f"/strands/{number}")
        parent = next((other for other in told if other["name"] == each.get("parent")), None)
        if parent is not None and not apart(parent["path"]):
            length = path_of(parent["path"], Frame(), 0.0).length
            yield from station_faults(each["stations"], length, f"/strands/{number}/stations")
