"""What is possible singly but not together in the open form: found before any work, every one that can be told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from worker.errors import Fault
from worker.open_form.faults.hollows import hollow_faults, named_strands
from worker.open_form.faults.made import made_faults
from worker.open_form.faults.names import name_faults
from worker.open_form.faults.reliefs import relief_faults
from worker.open_form.faults.shapes import shape_faults, station_faults
from worker.open_form.frames import Frame
from worker.open_form.paths import apart, path_of

Told = Mapping[str, Any]


def faults_of(told: Sequence[Told], taken_out: Sequence[Told]) -> Iterator[Fault]:
    """Faults of names first; where there are none those of numbers; where there are none those of the strands made."""
    for look in (_of_names, _of_numbers, made_faults, hollow_faults):
        found = list(look(told, taken_out))
        yield from found
        if found:
            return


def _of_names(told: Sequence[Told], taken_out: Sequence[Told]) -> Iterator[Fault]:
    yield from name_faults(told)
    yield from named_strands(told, taken_out)


def _of_numbers(told: Sequence[Told], taken_out: Sequence[Told]) -> Iterator[Fault]:
    for number, each in enumerate(told):
        found = list(shape_faults(each, f"/strands/{number}"))
        yield from found or relief_faults(each, f"/strands/{number}")
        parent = next((other for other in told if other["name"] == each.get("parent")), None)
        if parent is not None and not apart(parent["path"]):
            length = path_of(parent["path"], Frame(), 0.0).length
            yield from station_faults(each["stations"], length, f"/strands/{number}/stations")
