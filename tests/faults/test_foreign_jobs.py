"""Whoever can write to the store cannot make a worker do anything but build."""

from __future__ import annotations

import socket

import pytest
from rq import Callback, Queue
from rq.serializers import JSONSerializer
from rq.webhook import Webhook

from tests.stack import Stack, please
from worker.records.feeder import Feeder
from worker.records.names import BUILD_JOB, QUEUE, BaitName

pytestmark = pytest.mark.faults

REQUEST = please("nothing")


def queue(idle: Stack) -> Queue:
    return Queue(QUEUE, connection=idle.connection, serializer=JSONSerializer)


@pytest.mark.parametrize("job_id", ["a-job-of-somebody", f"local-{'0' * 64}-1"])
def test_another_function_is_not_run(idle: Stack, job_id: str) -> None:
    trace = idle.settings.state_dir / "trace"
    queue(idle).enqueue("os.system", f"touch {trace}", job_id=job_id)
    idle.submit(REQUEST)
    idle.start_pool()
    assert idle.ended(REQUEST).status == "successful", "and work goes on"
    assert not trace.exists()


def test_callbacks_and_webhooks_of_a_job_are_not_run(idle: Stack) -> None:
    idle.submit(REQUEST)
    Feeder(idle.connection, workers=1, limit_s=20).feed()
    job_id = BaitName("local", REQUEST.id).attempt(1).job_id
    idle.connection.delete(f"rq:job:{job_id}", f"rq:queue:{QUEUE}")
    with socket.create_server(("127.0.0.1", 0)) as listening:
        queue(idle).enqueue(
            BUILD_JOB,
            args=["local", REQUEST.id, 1],
            job_id=job_id,
            on_success=Callback("tests.faults.stand_in.leave_a_trace"),
            webhooks=[Webhook(f"http://127.0.0.1:{listening.getsockname()[1]}/", "finished")],
        )
        pool = idle.start_pool()
        assert idle.ended(REQUEST).status == "successful"
        pool.terminate()
        pool.wait(15)  # the worker has finished all that it does for a job
        assert not (idle.settings.state_dir / "trace").exists()
        listening.settimeout(0)
        with pytest.raises(BlockingIOError):
            listening.accept()
