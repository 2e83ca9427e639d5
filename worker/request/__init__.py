"""Reading a request: strict JSON, every fault at once, normal form, identity."""

from worker.request.request import Request, read_request
from worker.request.schema import request_schema

__all__ = ["Request", "read_request", "request_schema"]
