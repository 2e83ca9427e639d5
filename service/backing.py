"""Everything that lies behind the routes of one application, in one object."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask import current_app

from service.bait_body import EndedBodies
from service.drawings import Drawings
from service.estimator import Estimator
from service.interfaces import Baits, IdempotencyKeys, Keys, Plastics, Rates, Readiness, Webhooks
from service.waiting import Waiters


@dataclass(frozen=True, slots=True)
class Backing:
    """Tests put small stand-ins here; `service.stores` opens the real things."""

    baits: Baits
    idempotency_keys: IdempotencyKeys
    readiness: Readiness
    estimator: Estimator
    drawings: Drawings
    waiters: Waiters
    keys: Keys
    rates: Rates
    plastics: Plastics
    webhooks: Webhooks
    ended_bodies: EndedBodies = field(default_factory=EndedBodies)


def backing() -> Backing:
    """What lies behind the application that answers the present request."""
    found = current_app.extensions["pourwright"]
    assert isinstance(found, Backing)
    return found
