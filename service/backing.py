"""Everything that lies behind the routes of one application, in one object."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask import current_app

from service.batch_archive import Archives
from service.drawings import Drawings
from service.estimator import Estimator
from service.interfaces import (
    Baits,
    Batches,
    Definitions,
    Fits,
    IdempotencyKeys,
    Keys,
    Rates,
    Readiness,
    Replays,
    Webhooks,
)
from service.kept_bodies import KeptBodies
from service.links import LinkSigner
from service.turns import Turns
from service.waiting import Waiters

BATCHES_READ = 3
"""Batches whose items may be read or wait for it: one at a time holds the interpreter for a second or two."""


def _batch_turns() -> Turns:
    return Turns(BATCHES_READ - 1, "Other batches are being read; nothing was taken.")


@dataclass(frozen=True, slots=True)
class Backing:
    """Tests put small stand-ins here; `service.stores` opens the real things."""

    baits: Baits
    fits: Fits
    idempotency_keys: IdempotencyKeys
    readiness: Readiness
    estimator: Estimator
    drawings: Drawings
    waiters: Waiters
    keys: Keys
    rates: Rates
    plastics: Definitions
    styles: Definitions
    links: LinkSigner
    batches: Batches
    replays: Replays
    webhooks: Webhooks
    webhook_origins: tuple[str, ...] = ()
    ended_baits: KeptBodies = field(default_factory=lambda: KeptBodies(512))
    ended_fits: KeptBodies = field(default_factory=lambda: KeptBodies(64))  # several times as long as a bait's
    ended_batches: KeptBodies = field(default_factory=lambda: KeptBodies(16))  # up to some megabytes each
    batch_turns: Turns = field(default_factory=_batch_turns)
    archives: Archives = field(default_factory=Archives)


def backing() -> Backing:
    """What lies behind the application that answers the present request."""
    found = current_app.extensions["pourwright"]
    assert isinstance(found, Backing)
    return found
