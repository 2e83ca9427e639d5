"""Changing what a caller keeps under a name: under the request's conditions, never over somebody else's change."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from flask import request

from service.caller import current_caller
from service.conditional import require_conditions
from service.errors import Full
from worker.errors import Busy

TRIES = 8
"""How often a change is begun anew because another came first."""

Kept = TypeVar("Kept")


@dataclass(frozen=True, slots=True)
class Shelf(Generic[Kept]):
    """Things of one kind that callers keep by name, up to `most` each; every function takes the caller first."""

    called: str  # one of them
    most: int
    get: Callable[[str, str], Kept | None]
    count: Callable[[str], int]
    swap: Callable[[str, str, Kept | None, Kept | None], bool]
    tag: Callable[[str, Kept], str]  # of a name and what is kept under it

    def change(self, name: str, wanted: Callable[[Kept | None], Kept | None]) -> tuple[Kept | None, Kept | None]:
        """What was kept and what is kept now; None: nothing.

        `wanted` gives the new from the present and may raise; it is asked anew where another writer came in between,
        and so are the conditions. Raises PreconditionFailed (412), Full or Busy.
        """
        caller = current_caller().name
        for _ in range(TRIES):
            present = self.get(caller, name)
            new = wanted(present)
            require_conditions(request, None if present is None else self.tag(name, present), self.called)
            if present is None and self.count(caller) >= self.most:
                raise Full(f"A caller keeps up to {self.most} {self.called}s; remove one first.")
            if self.swap(caller, name, present, new):
                return present, new
        raise Busy(f"Others change this {self.called} all the time; try again.")

    def forget(self, name: str, unknown: Callable[[], Exception]) -> None:
        """Keep nothing under this name. Raises what `unknown` makes where nothing is kept; else as `change` does."""

        def nothing(present: Kept | None) -> None:
            if present is None:
                raise unknown()

        self.change(name, nothing)
