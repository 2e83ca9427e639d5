"""How the baits of a batch stand, as the store tells all of them in one text."""

from __future__ import annotations

from tests.records.batch_steps import batches, begun, finish, items, numbered, statuses
from tests.stack import Stack
from worker.errors import GeometryFailed
from worker.records.attempts import Attempts


def test_each_bait_has_its_own_outcome_whatever_another_ones_problem_says(records: Stack) -> None:
    good, bad, last = numbered(3)
    taken = batches(records).submit("local", items(good, bad, last))
    said = 'Not closed:\ntwo lines, \u2028 a third\tand "more".'
    Attempts(records.connection).fail(begun(records, bad), GeometryFailed(said))
    finish(records, good)
    running = batches(records).view("local", taken.id)
    assert statuses(running) == ["successful", "failed", "accepted"] and running is not None
    problem = running.items[1].problem
    assert problem is not None and problem["detail"] == said
