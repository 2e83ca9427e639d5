"""An estimate: request -> strands -> measures -> checks, arithmetic alone, in milliseconds."""

from __future__ import annotations

from typing import Any

from worker.bench import bench_figures
from worker.checks.all import check_all
from worker.checks.subject import Subject
from worker.figures import estimated_body, metrics_of
from worker.limb_places import limb_places
from worker.request import Request
from worker.values.cautions import cautions_of


def estimate(request: Request) -> dict[str, Any]:
    """`{metrics, checks, cautions}`: every measure and check that needs no mesh, the same figures as a build's.

    Besides `limb_places`, which a build leaves out: they serve whoever draws a bait while it changes.
    """
    subject = Subject(request)
    body = estimated_body(subject)
    return {
        "metrics": {**metrics_of(subject, body), **bench_figures(subject, body)},
        "checks": [answer.describe() for answer in check_all(subject)],
        "cautions": cautions_of(request.normal),
        "limb_places": limb_places(subject),
    }
