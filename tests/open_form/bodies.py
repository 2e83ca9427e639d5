"""Small requests in the open form that tests change one thing of."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from worker.checks.subject import Subject
from worker.errors import Fault, RequestRejected
from worker.request import Request, read_request
from worker.solid.join import joined
from worker.solid.solid import Solid

Body = dict[str, Any]

TRUNK: Body = {"name": "body", "kind": "trunk", "path": {"length": 60}, "girth": [{"at": 0, "width": 10}]}
LEG: Body = {
    "name": "leg",
    "kind": "leg",
    "parent": "body",
    "stations": [0.5],
    "yaw": 90,
    "path": {"length": 20},
    "girth": [{"at": 0, "width": 3}, {"at": 1, "width": 1.5}],
}
SLOT: Body = {"kind": "slot", "strand": "body", "from": 0.3, "to": 0.6}


def bait(*strands: Body, hollows: list[Body] | None = None, **others: Any) -> Body:
    """A request for these strands."""
    taken_out = {} if hollows is None else {"hollows": hollows}
    return {"strands": [deepcopy(each) for each in strands], **taken_out, "outputs": ["stl"], **others}


def less(body: Mapping[str, Any], *names: str) -> Body:
    """The same without some members."""
    return {name: value for name, value in body.items() if name not in names}


def solid_of(request: Request) -> Solid:
    """The checked solid of a request, as a build makes it."""
    subject = Subject(request)
    return joined(subject.strands, float(request.normal["tolerance_mm"]), subject.hollows)


def faults(body: Any) -> dict[str, Fault]:
    """Every fault by its pointer; none where it is taken."""
    try:
        read_request(body)
    except RequestRejected as error:
        assert error.faults
        assert len({fault.pointer for fault in error.faults}) == len(error.faults), error.faults
        return {fault.pointer: fault for fault in error.faults}
    return {}


def codes(body: Any) -> dict[str, str]:
    """Their codes."""
    return {pointer: fault.code for pointer, fault in faults(body).items()}
