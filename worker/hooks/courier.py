"""The courier: takes endings out of the outbox and delivers them until each has arrived or was tried often enough."""

from __future__ import annotations

import logging
import random
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import replace

from redis import Redis
from redis.exceptions import RedisError

from worker.errors import AddressForbidden, StoreUnavailable
from worker.hooks.addresses import read_address
from worker.hooks.schedule import next_delay
from worker.hooks.sending import Outcome, Sender
from worker.hooks.signing import signed_headers
from worker.records.liveness import Pulse, say_courier_alive
from worker.records.outbox import Claim, Outbox
from worker.records.trace import next_traceparent, trace_id
from worker.records.view import moment_text
from worker.records.webhooks import Standing, Webhook, WebhookBook
from worker.settings import Settings

THREADS = 8
IDLE_S = 1.0  # how soon a delivery whose time has come is noticed
BUSY_S = 0.05
AWAY_S = 0.5
SPARE_S = 60.0  # how much longer a lease is than a delivery may take: resolving a name has no limit of ours
_log = logging.getLogger(__name__)


class Courier:
    """One process; any number of them may share a store. `clock` and `chance` are the world's unless a test says."""

    def __init__(
        self,
        settings: Settings,
        connection: Redis,
        sender: Sender,
        clock: Callable[[], float] = time.time,
        chance: Callable[[], float] = random.random,
    ) -> None:
        self._settings = settings
        self._connection = connection
        self._outbox = Outbox(connection)
        self._book = WebhookBook(connection)
        self._sender = sender
        self._clock = clock
        self._chance = chance
        self._pulse = Pulse(lambda: say_courier_alive(connection))
        self._stopping = threading.Event()

    def stop(self) -> None:
        """Take nothing more; what is on its way may arrive."""
        self._stopping.set()

    def run(self) -> None:
        """Until stopped. It may end anywhere: what it held is delivered again, with the same `webhook-id`."""
        away = False
        with ThreadPoolExecutor(THREADS) as threads:
            under_way: set[Future[None]] = set()
            while not self._stopping.is_set():
                try:
                    self._pulse.beat()
                    self._outbox.fan_out(self._clock())
                    while len(under_way) < THREADS and (claim := self._claim()) is not None:
                        under_way.add(threads.submit(self._deliver_or_tell, claim))
                    under_way = {one for one in under_way if not one.done()}
                    if len(under_way) >= THREADS:
                        wait(under_way, IDLE_S, "FIRST_COMPLETED")
                    else:
                        self._outbox.wait(BUSY_S if under_way else IDLE_S)
                    away = False
                except (RedisError, StoreUnavailable) as error:
                    if not away:
                        _log.warning("the store is away", extra={"error": str(error)})
                    away = True
                    self._stopping.wait(AWAY_S)

    def round(self) -> int:
        """All that is due now, one after the other; returns how many deliveries were tried."""
        while self._outbox.fan_out(self._clock()):
            pass
        tried = 0
        while (claim := self._claim()) is not None:
            self._deliver(claim)
            tried += 1
        return tried

    def _claim(self) -> Claim | None:
        return self._outbox.claim(self._clock(), self._settings.webhook_limit_s + SPARE_S)

    def _deliver_or_tell(self, claim: Claim) -> None:
        try:
            self._deliver(claim)
        except (RedisError, StoreUnavailable) as error:  # the lease ends, and it is delivered again
            _log.warning("what became of a delivery was not noted", extra=_about(claim) | {"error": str(error)})
        except Exception:
            _log.exception("a delivery met a fault of ours", extra=_about(claim))

    def _deliver(self, claim: Claim) -> None:
        found = self._book.get(claim.caller, claim.name)
        if found is None or found[0].id != claim.message.webhook or found[1].disabled_since is not None:
            self._outbox.settle(claim, "done", "forgotten")
            return
        webhook, standing = found
        begun = self._clock()
        outcome = self._send(claim, webhook, begun)
        self._note(claim, standing, outcome, begun)

    def _send(self, claim: Claim, webhook: Webhook, now: float) -> Outcome:
        body = claim.message.body.encode()
        headers = {
            "Content-Type": "application/json",
            "User-Agent": "Pourwright",
            "traceparent": next_traceparent(claim.message.trace),
            **signed_headers(webhook.signing(now), claim.message_id, int(now), body),
        }
        try:
            # Read again each time: what the operator lists may have changed since it was put.
            address = read_address(webhook.address, self._settings.webhook_origins)
        except AddressForbidden as refused:
            return Outcome(False, refused.detail)
        return self._sender.send(address, body, headers, claim.message.tries)

    def _note(self, claim: Claim, before: Standing, outcome: Outcome, begun: float) -> None:
        """Settle a try: arrived, again later, or, after the last, no more to this webhook.

        A message that is refused while others arrive is given up by itself: its webhook lives.
        """
        now = moment_text(begun)
        if outcome.arrived:
            self._outbox.settle(claim, "done", "arrived", before, replace(before, last_success=now))
            _log.info("a webhook was told", extra=_about(claim))
            return
        standing = replace(before, last_failure=now, last_reason=outcome.reason)
        said = _about(claim) | {"reason": outcome.reason, "tries": claim.message.tries + 1}
        delay = None if outcome.gone else next_delay(claim.message.tries + 1, self._chance(), outcome.retry_after_s)
        if delay is not None:
            self._outbox.settle(claim, "again", "failed", before, standing, self._clock() + delay, now)
            _log.info("a webhook was not told", extra=said | {"again_in_s": round(delay)})
        elif not outcome.gone and (before.last_success or "") > (claim.message.begun or now):
            self._outbox.settle(claim, "done", "given_up", before, standing)
            _log.warning("a message to a webhook was given up", extra=said)
        else:
            self._outbox.settle(claim, "stop", "disabled", before, replace(standing, disabled_since=now))
            _log.warning("a webhook was disabled", extra=said)


def _about(claim: Claim) -> dict[str, object]:
    told: dict[str, object] = {"caller": claim.caller, "webhook": claim.name, "message_id": claim.message_id}
    return told if claim.message.trace is None else told | {"trace": trace_id(claim.message.trace)}
