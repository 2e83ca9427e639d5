"""Declarations of parameters by their kind, for styles."""

from worker.values.declare import choice, millimetres, share, whole

__all__ = ["choice", "millimetres", "share", "whole"]
