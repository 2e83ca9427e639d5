"""Calls a Pourwright service: estimates, baits, fits, batches, files and webhooks."""

from __future__ import annotations

from pourwright_client import errors, webhooks
from pourwright_client.client import Client
from pourwright_client.errors import (
    Answered,
    Busy,
    Clash,
    EndedBadly,
    NotAllowed,
    NotSigned,
    NotThere,
    PourwrightError,
    Refused,
    ServiceFailed,
    StillUnderWay,
    Unreachable,
    WrongBytes,
)
from pourwright_client.patch import patched, pointers
from pourwright_client.problem import Fault, Problem
from pourwright_client.records import Bait, Batch, BatchItem, Check, File, Fit, Link, Remedy, Webhook

__all__ = [
    "Answered",
    "Bait",
    "Batch",
    "BatchItem",
    "Busy",
    "Check",
    "Clash",
    "Client",
    "EndedBadly",
    "Fault",
    "File",
    "Fit",
    "Link",
    "NotAllowed",
    "NotSigned",
    "NotThere",
    "PourwrightError",
    "Problem",
    "Refused",
    "Remedy",
    "ServiceFailed",
    "StillUnderWay",
    "Unreachable",
    "Webhook",
    "WrongBytes",
    "errors",
    "patched",
    "pointers",
    "webhooks",
]
