"""From a bait to the mould that it comes out of: parting, halves, channels, vents, and what is checked of them."""

from __future__ import annotations

from worker.checks.subject import Subject
from worker.mould.dipped import dipped
from worker.mould.injected import injected
from worker.mould.mould import Mould
from worker.mould.open_pour import open_pour
from worker.solid.solid import Solid

_KINDS = {"injected": injected, "injected_with_core": injected, "open_pour": open_pour, "dipped": dipped}


def mould_of(subject: Subject, solid: Solid) -> Mould | None:
    """The mould that the subject's request asks for, of the bait's solid; None without. Raises GeometryFailed."""
    asked = subject.request.normal.get("mould")
    return None if asked is None else _KINDS[asked["kind"]](subject, solid, asked)
