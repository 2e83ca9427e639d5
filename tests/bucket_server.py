"""A real S3 server on the loopback for tests, in a process that a test may stop: moto's, in memory."""

from __future__ import annotations

import http.client
import signal
import socket
import subprocess
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from tests.requires import bucket_python
from tests.stack import eventually
from worker.records.bucket import FOR_SERVICE, Bucket, Haste, Place


@dataclass
class BucketServer:
    """One server; each test takes a new bucket."""

    port: int
    process: subprocess.Popen[bytes]
    host: str = "127.0.0.1"

    @classmethod
    def start(cls, host: str = "127.0.0.1", inside: Sequence[str] = ()) -> BucketServer:
        """On the loopback, or at an address of the network that the command `inside` runs it in."""
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        command = [*inside, bucket_python(), "-m", "moto.server", "-H", host, "-p", str(port)]
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        made = cls(port, process, host)
        try:
            eventually(made._answers, 60)
        except BaseException:
            made.stop()
            raise
        return made

    def _answers(self) -> bool:
        try:
            socket.create_connection((self.host, self.port), 1).close()
        except OSError:
            return False
        return True

    @property
    def endpoint(self) -> str:
        return f"http://{self.host}:{self.port}"

    def new_bucket(self) -> str:
        """The name of an empty bucket."""
        name = f"baits-{uuid.uuid4().hex[:12]}"
        connection = http.client.HTTPConnection(self.host, self.port, timeout=30)
        connection.request("PUT", f"/{name}", b"")
        assert connection.getresponse().status == 200
        connection.close()
        return name

    def environ(self, bucket: str) -> dict[str, str]:
        """Settings that lead there."""
        return {
            "POURWRIGHT_ARTIFACTS": f"s3://{bucket}/a/shop",
            "AWS_ENDPOINT_URL": self.endpoint,
            "AWS_ACCESS_KEY_ID": "anybody",
            "AWS_SECRET_ACCESS_KEY": "any-secret",
        }

    def open(self, bucket: str, haste: Haste = FOR_SERVICE) -> Bucket:
        return Bucket(Place(bucket, "a/shop", self.endpoint, "us-east-1", "anybody", "any-secret", None), haste)

    def pause(self) -> None:
        """Takes connections from now on and answers nothing."""
        self.process.send_signal(signal.SIGSTOP)

    def go_on(self) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGCONT)

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()
