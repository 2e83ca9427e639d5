"""Reading a request: strict JSON, every fault at once, normal form, identity."""

from worker.request.request import Request, read_request
from worker.request.schema import request_schema
from worker.request.together import faults_on

__all__ = ["Request", "faults_on", "read_request", "request_schema"]
