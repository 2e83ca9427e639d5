"""The RQ worker: forks a process for each job, keeps its lease, and settles it where it did not."""

from __future__ import annotations

import logging
import os
import signal
import socket
import sys
import time
from typing import Any

from redis import Redis
from rq import Queue, Worker
from rq.job import Job
from rq.serializers import JSONSerializer
from rq.timeouts import HorseMonitorTimeoutException, UnixSignalDeathPenalty

from worker.errors import WorkerLost
from worker.jobs.endings import INNER_LIMIT_S, OUTER_LIMIT_S, judge
from worker.jobs.limits import die_with_parent, end_after, limit_memory, waited_for_a_processor
from worker.jobs.run import build_bait
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.liveness import Pulse, say_worker_alive, say_worker_gone
from worker.records.logs import about
from worker.records.names import BUILD_JOB, QUEUE, AttemptName
from worker.records.presence import mark_of
from worker.settings import Settings

TICK_S = 0.5
RENEW_EVERY, REPORT_EVERY = 2, 10  # ticks
STOP_LIMIT_S = OUTER_LIMIT_S + 2 * TICK_S  # beyond a bait's time: any that was begun before a stop has ended by then
_log = logging.getLogger(__name__)


class BuildJob(Job):
    """A job that does one thing, whatever stands in the store: no other function, callback or webhook."""

    @property
    def func(self) -> Any:
        """The build, or a ValueError."""
        if self.func_name != BUILD_JOB:
            raise ValueError(f"{self.func_name!r} is not what our jobs do")
        return build_bait

    success_callback = failure_callback = stopped_callback = property(lambda self: None)

    def send_webhooks(self, status: object, *, exc_string: str | None = None) -> None:
        """RQ's own: unsigned, and with the traceback in it."""


class Alarm(UnixSignalDeathPenalty):
    """RQ's alarm, which in the parent goes off twice a second instead of once in so many whole seconds."""

    def setup_death_penalty(self) -> None:
        """Set the alarm."""
        signal.signal(signal.SIGALRM, self.handle_death_penalty)
        in_parent = self._exception is HorseMonitorTimeoutException
        signal.setitimer(signal.ITIMER_REAL, TICK_S if in_parent else self._timeout)


class BaitWorker(Worker):
    """One worker process. Its parent part keeps the lease, so a build in native code keeps it too."""

    death_penalty_class = Alarm
    max_connection_wait_time = 1.0  # after the store was away, work goes on within a second

    def __init__(self, settings: Settings, connection: Redis, artifacts: ArtifactStore) -> None:
        # A blocking read of 5 s, after which it says that it is there, and housekeeping once a minute.
        super().__init__(
            [Queue(QUEUE, connection=connection, job_class=BuildJob, serializer=JSONSerializer)],
            connection=connection,
            job_class=BuildJob,
            serializer=JSONSerializer,
            worker_ttl=20,
            maintenance_interval=60,
            log_job_description=False,
        )
        self._settings = settings
        self._parent = os.getpid()
        self._artifacts = artifacts
        self._attempts = Attempts(connection)
        self._alive_name = f"{socket.gethostname()}-{self._parent}"
        self._pulse = Pulse(lambda: say_worker_alive(self.connection, self._alive_name))
        self._attempt: AttemptName | None = None
        self._begun = 0.0
        self._limit_s: float = settings.job_limit_s
        self._ticks = 0
        self._waited = 0.0
        self._stop_seen: float | None = None
        self._end: tuple[int | None, Any] = (None, None)

    def subscribe(self) -> None:
        """No commands through the store, and so no second thread in a process that forks."""

    def unsubscribe(self) -> None:
        """See subscribe."""

    def heartbeat(self, timeout: int | None = None, pipeline: Any = None) -> None:
        """Called whenever a read ends without a job, and after each job: say that this worker is there."""
        super().heartbeat(timeout, pipeline)
        self._pulse.beat()

    def register_birth(self) -> None:
        """Called before the first job is looked for."""
        super().register_birth()  # type: ignore[no-untyped-call]
        self._pulse.beat()

    def register_death(self) -> None:
        """Called when it has stopped in order."""
        super().register_death()  # type: ignore[no-untyped-call]
        say_worker_gone(self.connection, self._alive_name)

    def execute_job(self, job: Job, queue: Queue) -> None:
        """Run a job in a process of its own, and settle it if that process did not."""
        try:
            self._attempt = AttemptName.parse(job.id)
        except ValueError:
            _log.error("a job that is none of ours was left alone", extra={"job": job.id})
            return
        self._begun, self._ticks, self._waited, self._end = time.monotonic(), 0, 0.0, (None, None)
        self._limit_s = self._limit_of(job)
        super().execute_job(job, queue)
        self._settle(self._attempt)

    def _limit_of(self, job: Job) -> float:
        """As long as the feeder gave it, a fit more than a bait, but never longer than our own settings have it."""
        longest = max(self._settings.job_limit_s, self._settings.fit_limit_s)
        given = float(job.timeout or 0)
        return min(given, longest) if given > 0 else self._settings.job_limit_s

    def main_work_horse(self, job: Job, queue: Queue) -> None:
        """The job's own process: what it may not do, then the job."""
        die_with_parent(self._parent, signal.SIGKILL)
        limit_memory(self._settings.job_memory_mib)
        end_after(self._limit_s + INNER_LIMIT_S)
        super().main_work_horse(job, queue)

    def monitor_work_horse(self, job: Job, queue: Queue, execution: Any) -> None:
        """Watch over the job's process by our own limits alone: RQ's goes by the wall clock, which may be set."""
        job.timeout = -1
        super().monitor_work_horse(job, queue, execution)

    def wait_for_horse(self) -> tuple[int | None, int | None, Any]:
        """Wait, and remember how it ended."""
        pid, status, usage = super().wait_for_horse()
        if pid is not None:
            self._end = (status, usage)
        return pid, status, usage

    def maintain_heartbeats(self, job: Job, execution: Any) -> None:
        """Called at each tick: keep the lease, and end a job that is overdue or no longer wanted."""
        self._ticks += 1
        self._waited = max(
            self._waited, waited_for_a_processor(self.horse_pid)
        )  # nobody tells it of one that has ended
        overdue = time.monotonic() - self._begun >= self._limit_s + OUTER_LIMIT_S
        if overdue or not self._still_wanted() or self._given_back():
            self.kill_horse()
        elif self._ticks % REPORT_EVERY == 0:
            super().maintain_heartbeats(job, execution)

    def _still_wanted(self) -> bool:
        if self._ticks % RENEW_EVERY or self._attempt is None:
            return True
        self._pulse.beat()
        return self._attempts.renew(self._attempt)

    def _given_back(self) -> bool:
        """Whether the worker is to stop and has put back in line what would keep it longer than a bait may.

        A fit may take many times that; nobody who stops a machine waits so long, and to be killed would cost it a try.
        """
        if not self._stop_requested or self._attempt is None:
            return False
        now = time.monotonic()
        if self._stop_seen is None:
            self._stop_seen = now
        if now - self._stop_seen < self._settings.job_limit_s + STOP_LIMIT_S:
            return False
        given = self._attempts.give_back(self._attempt, "running")
        if given:
            _log.info("what a stop would cut off was put back in line", extra=self._about(self._attempt))
        return given

    def _about(self, attempt: AttemptName) -> dict[str, object]:
        return about(attempt, self._attempts.kind(attempt))

    def _settle(self, attempt: AttemptName) -> None:
        """Say how the bait ended, where the job's process did not do so itself, as it nearly always does."""
        status, usage = self._end
        if status != os.EX_OK:
            self._artifacts.clear(attempt)
        if (standing := self._attempts.standing(attempt)) is None:
            return
        # A job that reached two workers was begun by one of them; what became of it the other does not know.
        if standing == "running" and self._attempts.is_anothers(attempt, mark_of(self._parent)):
            return
        seconds = time.monotonic() - self._begun
        peak_mib = usage.ru_maxrss / (1024 if sys.platform == "linux" else 1024**2) if usage else 0.0
        failure = judge(status, seconds, self._limit_s, peak_mib, self._settings.job_memory_mib, self._waited)
        if standing == "handed":  # it never came to the build, so the bait is not to blame
            failure = None
        if failure is None and self._attempts.again(attempt) == "spent":
            failure = WorkerLost("The worker was ended each time it did this work.")
        if failure is not None and self._attempts.fail(attempt, failure):
            _log.warning("a job ended its process", extra=self._about(attempt) | {"problem": failure.kind})
