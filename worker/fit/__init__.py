"""Fits: the parameters that meet stated requirements and make the most of a goal, and the front of a bargain."""

from worker.fit.answer import FitAnswer
from worker.fit.effort import budget, is_small
from worker.fit.request import FitRequest, fit_request
from worker.fit.schema import fit_request_schema

__all__ = ["FitAnswer", "FitRequest", "budget", "fit_request", "fit_request_schema", "is_small"]
