"""Workers in this process, step by step: each may die, stall or be told to stop between any two steps.

The steps are those of `worker.jobs.run`, the feeder and the reaper; what they build is a few bytes.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from redis import Redis

from worker.errors import BuildFailed
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.carrying import Done, carry_out, failure_of_ours
from worker.records.feeder import Feeder
from worker.records.names import QUEUE, AttemptName
from worker.records.reaper import Reaper
from worker.settings import Settings

LOOK_EVERY_S, LOOKS = 2.0, 6  # longer than a lease lasts, in looks that come soon enough to count


class Killed(BaseException):
    """The process is gone: nothing of it goes on."""


class Dying(Attempts):
    """Of a worker that is killed when its files are written down and not moved in, or moved in and not told."""

    moved_in = False

    def standing(self, attempt: AttemptName) -> Any:
        if not self.moved_in:
            raise Killed
        return super().standing(attempt)

    def succeed(self, attempt: AttemptName) -> bool:
        raise Killed


@dataclass(eq=False)
class Run:
    """One attempt in a worker's hands. `stalls`: nobody renews its lease."""

    attempt: AttemptName
    record: Mapping[str, Any]
    stalls: bool = False


def solid(attempt: AttemptName) -> bytes:
    """What an attempt builds: no other builds the same, so that files of two would show."""
    return f"a solid by attempt {attempt.number} at {attempt.bait.id}".encode() * 50


class Workers:
    """The pool's part of a real store and a real folder."""

    def __init__(self, settings: Settings, connection: Redis) -> None:
        self.connection = connection
        self.artifacts = FolderArtifacts(settings.state_dir)
        self.attempts = Attempts(connection)
        self.feeder = Feeder(connection, workers=2, limit_s=20)
        self.reaper = Reaper(connection, self.artifacts)
        self.runs: list[Run] = []
        self.now = 1000.0

    def dequeue(self) -> AttemptName | None:
        """What a worker takes out of the queue; it may die with it."""
        job_id = self.connection.lpop(f"rq:queue:{QUEUE}")
        return None if job_id is None else AttemptName.parse(job_id.decode())  # type: ignore[union-attr]

    def begin(self, attempt: AttemptName) -> str:
        """ "unwanted", "finished" (its files were there already) or "running"."""
        finished = self.artifacts.stamp(attempt.bait) is not None
        record = self.attempts.start(attempt)
        if record is None:
            return "unwanted"
        if finished:
            assert self.attempts.succeed(attempt)
            return "finished"
        self.runs.append(Run(attempt, {**record, "request": json.loads(record["request"])}))
        return "running"

    def finish(self, run: Run, failure: BuildFailed | None = None, attempts: Attempts | None = None) -> None:
        """To its end, well or badly. Passes Killed on."""
        self.runs.remove(run)

        def work(normal: dict[str, Any]) -> Done:
            if failure is not None:
                raise failure
            members = {"metrics": {"attempt": run.attempt.number}, "checks": [], "cautions": []}
            return Done({"bait.stl": solid(run.attempt), "metrics.json": b"{}"}, {}, members)

        done_by = attempts or self.attempts
        carry_out("bait", done_by, lambda: self.artifacts, run.attempt, run.record, work, failure_of_ours)

    def die_with_files(self, run: Run, *, moved_in: bool) -> bool:
        """Killed before its files are moved in, or after that and before it is told; whether they were."""
        dying = Dying(self.connection)
        dying.moved_in = moved_in
        try:
            self.finish(run, attempts=dying)
        except Killed:
            if not moved_in:  # what a real death leaves: nobody tidied up
                half = self.artifacts._aside / run.attempt.job_id
                half.mkdir(parents=True)
                (half / "bait.stl").write_bytes(solid(run.attempt)[:40])
                return False
        read = self.artifacts.read_manifest(run.attempt.bait)
        return read is not None and read["attempt"] == run.attempt.number

    def time_passes(self) -> None:
        """Long enough for every lease that nobody renews to lapse."""
        for _ in range(LOOKS):
            self.now += LOOK_EVERY_S
            for run in self.runs:
                if not run.stalls:
                    self.attempts.renew(run.attempt)
            self.reaper.look(self.now)
