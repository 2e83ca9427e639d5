"""Pictures of a bait in translucent soft plastic, from its mesh and finish alone."""

from __future__ import annotations

from worker.picture.finish import Finish, Glitter, finish_from_request
from worker.picture.scene import Prepared, draw, prepare, render
from worker.picture.thumbnails import thumbnails
from worker.picture.turntable import turntable
from worker.picture.views import views

__all__ = [
    "Finish",
    "Glitter",
    "Prepared",
    "draw",
    "finish_from_request",
    "prepare",
    "render",
    "thumbnails",
    "turntable",
    "views",
]
