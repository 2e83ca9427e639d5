"""What holds after every step in a life of baits."""

from __future__ import annotations

import hashlib

from hypothesis.stateful import invariant

from tests.http.life_machine import CALLERS, LifeMachine
from tests.http.life_model import UNFINISHED
from tests.http.life_workers import solid
from worker.records.names import BaitName
from worker.request import read_request


class Promises(LifeMachine):
    """Each bait and each batch is looked at as its caller sees it."""

    @invariant()
    def every_bait_is_as_it_should_be(self) -> None:
        for (caller, one), bait in getattr(self, "baits", {}).items():
            answer = self.call("GET", f"/v1/baits/{one}", caller)
            file = self.call("GET", f"/v1/baits/{one}/files/bait.stl", caller)
            if bait.status is None:
                assert (answer.status_code, file.status_code) == (404, 404)
                continue
            body = answer.json
            assert (answer.status_code, body["status"], body["id"]) == (200, bait.status, one)
            assert read_request(body["request"]).id == one
            assert ("ETag" in answer.headers) == (bait.status not in UNFINISHED)
            assert ("problem" in body) == (bait.status == "failed")
            if bait.status != "successful":
                assert body["files"] == [] and file.status_code == 404
                continue
            listed = {each["name"]: each for each in body["files"]}
            assert set(listed) == {"bait.stl", "metrics.json"}
            by = BaitName(caller, one).attempt(body["metrics"]["attempt"])
            assert file.status_code == 200 and file.data == solid(by), "whole, and of the attempt that is told"
            digest = hashlib.sha256(file.data).hexdigest()
            assert digest == listed["bait.stl"]["sha256"] and file.headers["ETag"] == f'"{digest}"'

    @invariant()
    def every_batch_is_as_it_should_be(self) -> None:
        for name, batch in getattr(self, "batches", {}).items():
            body = self.call("GET", f"/v1/batches/{name}", batch.caller).json
            other = next(caller for caller in CALLERS if caller != batch.caller)
            assert self.call("GET", f"/v1/batches/{name}", other).status_code == 404
            assert (body["finished"] is not None) == batch.ended
            for item in body["items"]:
                bait, outcome = self.baits[batch.caller, item["id"]], batch.outcomes[item["id"]]
                if bait.untold and outcome is None:
                    assert item["status"] in (*UNFINISHED, "successful")
                else:
                    assert item["status"] == (outcome or bait.status)
            if not batch.ended:
                assert self.call("GET", f"/v1/batches/{name}/archive", batch.caller).status_code == 409
