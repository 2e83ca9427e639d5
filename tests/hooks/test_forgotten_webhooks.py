"""A webhook that is forgotten or put again while messages are on their way to it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.hooks.courier_bench import Bench
from tests.hooks.receiver import status
from worker.hooks.sending import Outcome
from worker.records.webhooks import Webhook, WebhookBook


def test_a_webhook_that_is_forgotten_takes_what_waits_with_it(bench: Bench) -> None:
    made = bench.put()
    bench.here.answer = status(500)
    bench.end(1)
    bench.courier.round()
    assert bench.book.swap("local", "till", made, None)
    bench.now += 1e6
    assert bench.courier.round() == 0 and bench.waiting() == 0


def test_what_is_on_its_way_to_one_that_is_forgotten_changes_nothing_about_the_next_of_its_name(bench: Bench) -> None:
    # Given a delivery on its way when its webhook is forgotten, another is put by its name, and a bait ends
    made = bench.put()
    anew: list[Webhook] = []

    def meanwhile(_: Any) -> Any:
        if not anew:
            assert bench.book.swap("local", "till", made, None)
            anew.append(bench.put())
            bench.end(2)
            bench.courier._outbox.fan_out(bench.now)
        return status(410)(_)

    bench.end(1)
    bench.here.answer = meanwhile
    assert bench.courier.round() == 2  # the second of them to the new one, which says itself that it is gone
    assert bench.standing().of == anew[0].id and bench.standing().last_reason == "Answered 410."
    assert len(bench.here.calls) == 2


@pytest.mark.parametrize("answer", [410, 500, 200])
def test_what_became_of_a_delivery_to_a_forgotten_webhook_is_not_told_of_the_next(bench: Bench, answer: int) -> None:
    made = bench.put()
    bench.end(1)
    bench.courier._outbox.fan_out(bench.now)
    claim = bench.courier._claim()
    assert claim is not None
    found = bench.book.get("local", "till")
    assert found is not None
    assert bench.book.swap("local", "till", made, None)
    bench.put()
    bench.end(2)
    bench.courier._outbox.fan_out(bench.now)
    bench.courier._note(claim, found[1], Outcome(answer == 200, f"Answered {answer}.", gone=answer == 410), bench.now)
    standing = bench.standing()
    assert (standing.last_success, standing.last_failure, standing.disabled_since) == (None, None, None)
    assert bench.courier.round() == 1 and bench.waiting() == 0, "its own message is still told, and no other"
    assert bench.connection.keys("pourwright:messages:*") == []


def test_one_that_is_put_while_a_last_try_is_on_its_way_is_not_disabled_by_it(bench: Bench) -> None:
    made = bench.put()

    def put_meanwhile(_: Any) -> Any:
        assert bench.book.swap("local", "till", made, made)
        return status(410)(_)

    bench.here.answer = put_meanwhile
    bench.end(1)
    bench.courier.round()
    assert bench.standing().disabled_since is None and bench.waiting() == 0


def test_an_ending_between_a_look_at_the_webhooks_and_their_removal_waits_for_nobody(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = bench.put()
    bench.end(1)
    really = WebhookBook.all

    def forgotten_meanwhile(self: WebhookBook, caller: str) -> Any:
        found = really(self, caller)
        assert bench.book.swap("local", "till", made, None)
        return found

    monkeypatch.setattr(WebhookBook, "all", forgotten_meanwhile)
    bench.courier._outbox.fan_out(bench.now)
    assert bench.waiting() == 0 and bench.connection.keys("pourwright:messages:*") == []
