"""Baits that the running pool sweeps while the running service is asked for them."""

from __future__ import annotations

import hashlib
import http.client
import os
import time

from tests.http.running import service
from tests.stack import eventually
from worker.records.artifacts import FolderArtifacts
from worker.records.names import BaitName

SIZE = 40_000_000  # far more than the kernel holds for a socket that nobody reads
CONTENT = os.urandom(1 << 20) * (SIZE >> 20)
BODY = {"style": "beaded_worm", "params": {"length": 80, "bead_count": 6}, "outputs": ["stl"]}


def test_a_swept_bait_is_404_comes_again_by_a_post_and_whoever_reads_it_reads_it_to_its_end() -> None:
    with service(workers=True, keep_hours=1, sweep_every_s=1) as running:
        built = running.call("POST", "/v1/baits", BODY, Prefer="wait=25").json
        assert built["status"] == "successful"
        href = built["files"][0]["href"]

        # A large bait beside it, of which a slow reader has only begun to read.
        name = BaitName("local", "ab" * 32)
        artifacts = FolderArtifacts(running.stack.settings.state_dir)
        file = {"name": "bait.stl", "output": "stl", "media_type": "model/stl", "bytes": len(CONTENT)}
        file["sha256"] = hashlib.sha256(CONTENT).hexdigest()
        told = {"id": name.id, "attempt": 1, "request": {}, "metrics": {}, "checks": [], "cautions": []}
        told |= {"files": [file], "created": "", "finished": "", "timings": {}}
        artifacts.put_all(name.attempt(1), {"bait.stl": CONTENT}, told)
        reading = http.client.HTTPConnection("127.0.0.1", running.port, timeout=60)
        reading.request("GET", f"/v1/baits/{name.id}/files/bait.stl")
        response = reading.getresponse()
        begun = response.read(1000)

        long_ago = time.time() - 7200
        for old in (name.id, built["id"]):
            os.utime(
                running.stack.settings.state_dir / "artifacts" / "local" / old[:2] / old[2:4] / old, (long_ago,) * 2
            )
        # Looked for on disk, for to ask the service would be to use the bait.
        eventually(
            lambda: artifacts.stamp(name) is None and artifacts.stamp(BaitName("local", built["id"])) is None, 30
        )

        assert hashlib.sha256(begun + response.read()).hexdigest() == file["sha256"]
        reading.close()
        for path in (f"/v1/baits/{built['id']}", href, f"/v1/baits/{name.id}"):
            answer = running.call("GET", path)
            assert (answer.status, answer.mimetype) == (404, "application/problem+json")
        again = running.call("POST", "/v1/baits", BODY, Prefer="wait=25")
        assert (again.status, again.json["id"]) == (201, built["id"])
        digests = [{file["name"]: file["sha256"] for file in body["files"]} for body in (built, again.json)]
        digests = [{key: value for key, value in one.items() if key != "metrics.json"} for one in digests]
        assert digests[0] == digests[1]
        assert running.call("GET", href).status == 200
        eventually(lambda: running.stack.unfinished_folders() == [])
