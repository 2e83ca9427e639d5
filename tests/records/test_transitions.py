"""Every change of state against every state: what it does, and that it does nothing for another attempt."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.stack import Request, Stack, please
from worker.errors import GeometryFailed, InternalFault
from worker.records.attempts import Attempts
from worker.records.feeder import Feeder
from worker.records.names import DELAYED, LANES, AttemptName, BaitName, in_flight, lane_callers, line

REQUEST: Request = please("nothing")
BAIT = BaitName("local", REQUEST.id)


class Desk:
    """One bait in one store, brought to a state by real steps."""

    def __init__(self, records: Stack) -> None:
        self.connection = records.connection
        self.baits = records.baits
        self.attempts = Attempts(self.connection)
        self.feeder = Feeder(self.connection, workers=2, limit_s=20)

    def field(self, name: str) -> str | None:
        value = self.connection.hget(BAIT.record, name)
        return None if value is None else value.decode()

    @property
    def attempt(self) -> AttemptName:
        return BAIT.attempt(int(self.field("attempt") or 1))

    def submit(self) -> None:
        self.baits.submit("local", REQUEST)

    def start(self) -> None:
        self.submit()
        self.feeder.feed()
        assert self.attempts.start(self.attempt)

    def bring_to(self, state: str) -> None:
        if state == "waiting":
            self.submit()
        elif state == "handed":
            self.submit()
            self.feeder.feed()
        elif state != "nothing":
            self.start()
            ways: dict[str, Callable[[], object]] = {
                "running": lambda: None,
                "delayed": lambda: self.attempts.again(self.attempt),
                "successful": lambda: self.attempts.succeed(self.attempt),
                "failed by the bait": lambda: self.attempts.fail(self.attempt, GeometryFailed("Not closed.")),
                "failed by us": lambda: self.attempts.fail(self.attempt, InternalFault("Ours.")),
                "dismissed": lambda: self.baits.dismiss("local", REQUEST.id),
                "removed": lambda: (self.attempts.succeed(self.attempt), self.baits._remove(args=NAMES)),
            }
            ways[state]()

    def standing(self) -> tuple[str | None, bool, bool, bool]:
        """State; whether it stands in its line, is in flight, is delayed."""
        in_line = [one.decode() for one in self.connection.lrange(line("single", "local"), 0, -1)]
        in_turn = [one.decode() for one in self.connection.lrange(lane_callers("single"), 0, -1)]
        assert in_line in ([], [BAIT.id]), "never twice in a line"
        assert in_turn == (["local"] if in_line else []), "in turn exactly while something waits"
        flying = any(self.connection.sismember(in_flight(lane), BAIT.member) for lane in LANES)
        return self.field("state"), bool(in_line), flying, bool(self.connection.sismember(DELAYED, BAIT.member))


NAMES = ["local", REQUEST.id]
STANDING = {
    "nothing": (None, False, False, False),
    "waiting": ("waiting", True, False, False),
    "delayed": ("waiting", False, False, True),
    "handed": ("handed", False, True, False),
    "running": ("running", False, True, False),
    "successful": ("successful", False, False, False),
    "failed by the bait": ("failed", False, False, False),
    "failed by us": ("failed", False, False, False),
    "dismissed": ("dismissed", False, False, False),
    "removed": (None, False, False, False),
}
STATES = list(STANDING)

# What each change makes of each state; where a state is not named, it stays as it was.
UNFINISHED = ("waiting", "delayed", "handed", "running")
CHANGES: dict[str, dict[str, str]] = {
    "start": {"handed": "running"},
    "renew": {},
    "succeed": {"handed": "successful", "running": "successful"},
    "fail": {"handed": "failed by us", "running": "failed by us"},
    "again": {"handed": "delayed", "running": "delayed"},
    "give_back": {"handed": "waiting"},
    "give_back at a stop": {"running": "waiting"},
    "due": {"delayed": "waiting"},
    "dismiss": dict.fromkeys(UNFINISHED, "dismissed"),
    "remove": {
        "successful": "removed",
        "failed by the bait": "removed",
        "failed by us": "removed",
        "dismissed": "removed",
    },
    "submit": {
        "nothing": "waiting",
        "failed by us": "waiting",
        "dismissed": "waiting",
        "removed": "waiting",
        "successful": "waiting",  # its files are gone here: a manifest would have been answered before
    },
}
OF_AN_ATTEMPT = ("start", "renew", "succeed", "fail", "again", "give_back", "give_back at a stop")


def do(desk: Desk, change: str, attempt: AttemptName) -> None:
    from worker.records import scripts

    script = desk.connection.register_script
    deeds: dict[str, Callable[[], object]] = {
        "start": lambda: desk.attempts.start(attempt),
        "renew": lambda: desk.attempts.renew(attempt),
        "succeed": lambda: desk.attempts.succeed(attempt),
        "fail": lambda: desk.attempts.fail(attempt, InternalFault("Ours.")),
        "again": lambda: desk.attempts.again(attempt),
        "give_back": lambda: desk.attempts.give_back(attempt),
        "give_back at a stop": lambda: desk.attempts.give_back(attempt, "running"),
        "due": lambda: script(scripts.DUE)(args=NAMES),
        "dismiss": lambda: script(scripts.DISMISS)(args=[*NAMES, "2026-01-01T00:00:00.000Z"]),
        "remove": lambda: script(scripts.REMOVE)(args=NAMES),
        "submit": desk.submit,
    }
    deeds[change]()


@pytest.mark.parametrize("state", STATES)
def test_each_state_stands_where_it_should(records: Stack, state: str) -> None:
    desk = Desk(records)
    desk.bring_to(state)
    assert desk.standing() == STANDING[state]


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("change", CHANGES)
def test_a_change_leads_where_the_table_says(records: Stack, change: str, state: str) -> None:
    desk = Desk(records)
    desk.bring_to(state)
    do(desk, change, desk.attempt)
    assert desk.standing() == STANDING[CHANGES[change].get(state, state)]


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("change", OF_AN_ATTEMPT)
def test_a_belated_attempt_changes_nothing(records: Stack, change: str, state: str) -> None:
    desk = Desk(records)
    desk.bring_to(state)
    before = desk.connection.hgetall(BAIT.record)
    do(desk, change, BAIT.attempt(desk.attempt.number + 1))
    if desk.attempt.number > 1:
        do(desk, change, BAIT.attempt(desk.attempt.number - 1))
    assert desk.connection.hgetall(BAIT.record) == before
    assert desk.standing() == STANDING[state]


@pytest.mark.parametrize("state", [state for state in STATES if state not in UNFINISHED and state != "nothing"])
def test_what_has_ended_does_not_stay_in_the_store_for_ever(records: Stack, state: str) -> None:
    desk = Desk(records)
    desk.bring_to(state)
    assert 0 < desk.connection.ttl(BAIT.record) <= 600
    assert desk.connection.ttl(BAIT.ending) != -1


@pytest.mark.parametrize("state", UNFINISHED)
def test_what_has_not_ended_stays(records: Stack, state: str) -> None:
    desk = Desk(records)
    desk.bring_to(state)
    assert desk.connection.ttl(BAIT.record) == -1


def test_attempts_are_counted_on_through_failure_dismissal_and_removal(records: Stack) -> None:
    desk = Desk(records)
    for expected, end in enumerate(("failed by us", "dismissed", "removed", "running"), start=1):
        desk.bring_to(end)
        assert desk.attempt.number == expected


def test_three_tries_and_then_no_more(records: Stack) -> None:
    desk = Desk(records)
    desk.start()
    for attempt in (1, 2):
        assert desk.attempts.again(BAIT.attempt(attempt)) == "again"
        do(desk, "due", desk.attempt)
        desk.feeder.feed()
        assert desk.attempts.start(BAIT.attempt(attempt + 1))
    assert desk.attempts.again(BAIT.attempt(3)) == "spent"
    assert desk.standing() == STANDING["running"]


def test_a_hand_over_that_was_never_begun_costs_no_try(records: Stack) -> None:
    desk = Desk(records)
    desk.bring_to("handed")
    for _ in range(10):
        assert desk.attempts.give_back(desk.attempt)
        assert desk.feeder.feed() == 1
    assert (desk.field("tries"), desk.attempt.number) == ("1", 11)


def test_what_a_stop_cut_off_costs_no_try(records: Stack) -> None:
    desk = Desk(records)
    desk.start()
    for _ in range(10):
        assert desk.attempts.give_back(desk.attempt, "running")
        assert desk.feeder.feed() == 1
        assert desk.attempts.start(desk.attempt)
    assert (desk.field("tries"), desk.attempt.number) == ("1", 11)


def test_a_lease_that_moved_on_has_not_lapsed(records: Stack) -> None:
    desk = Desk(records)
    desk.start()
    seen = desk.field("beat") or ""
    assert desk.attempts.renew(desk.attempt)
    assert desk.attempts.again(desk.attempt, beat=seen) == "moved on"
    assert desk.attempts.again(desk.attempt, beat=desk.field("beat") or "") == "again"
