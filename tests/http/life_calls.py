"""What callers do in a life of baits, and what each of their calls is answered."""

from __future__ import annotations

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.http.life_machine import BODIES, IDS, LifeMachine, callers, numbers, picks
from tests.http.life_model import UNFINISHED, Batch, tell


class Calls(LifeMachine):
    """Baits and batches are asked for, dismissed and removed."""

    @rule(caller=callers, number=numbers, headers=st.sampled_from([{}, {"Prefer": "wait=0"}]))
    def post(self, caller: str, number: int, headers: dict[str, str]) -> None:
        bait = self.baits[caller, IDS[number]]
        answer = self.call("POST", "/v1/baits", caller, json={**BODIES[number], "label": "one"}, headers=headers)
        if bait.stays:
            status = 202 if bait.status in UNFINISHED else 200
            if bait.status in UNFINISHED:
                bait.wants.add("alone")
        else:
            bait.taken()
            bait.wants, status = {"alone"}, 202
        body = answer.json
        assert (answer.status_code, body["status"], body["id"]) == (status, bait.status, bait.id), body
        assert body["label"] == "one" and answer.headers["Location"] == f"/v1/baits/{bait.id}"
        assert ("Retry-After" in answer.headers) == (status == 202) and "Prefer" in answer.headers["Vary"]
        assert answer.headers.get("Preference-Applied") == headers.get("Prefer")

    @rule(caller=callers, number=numbers)
    def post_with_a_key(self, caller: str, number: int) -> None:
        """One key a caller: it goes with the first bait that it came with, whatever becomes of that."""
        named = {"Idempotency-Key": '"k"'}
        if self.by_key.setdefault(caller, IDS[number]) == IDS[number]:
            self.post(caller, number, named)
            return
        answer = self.call("POST", "/v1/baits", caller, json=BODIES[number], headers=named)
        assert answer.status_code == 422 and answer.json["type"].endswith("idempotency-key-reused")

    @rule(caller=callers, number=numbers)
    def delete(self, caller: str, number: int) -> None:
        bait = self.baits[caller, IDS[number]]
        answer = self.call("DELETE", f"/v1/baits/{bait.id}", caller)
        if bait.status is None:
            assert answer.status_code == 404
        elif bait.status in (*UNFINISHED, "dismissed"):
            if bait.status != "dismissed":
                bait.ended("dismissed", self.batches)
            assert (answer.status_code, answer.json["status"]) == (200, "dismissed")
        else:
            if bait.untold:
                bait.tell("dismissed", self.batches)
            bait.status, bait.untold = None, False
            assert answer.status_code == 204 and answer.data == b""

    @rule(caller=callers, chosen=st.lists(numbers, min_size=1, max_size=4))
    def post_a_batch(self, caller: str, chosen: list[int]) -> None:
        answer = self.call("POST", "/v1/batches", caller, json=[BODIES[number] for number in chosen])
        assert answer.status_code == 202, answer.text
        batch = Batch(caller, {IDS[number]: None for number in chosen})
        self.batches[answer.json["id"]] = batch
        for one in batch.outcomes:
            bait = self.baits[caller, one]
            if not bait.stays:
                bait.taken()
            if bait.status in UNFINISHED:
                bait.wants.add(answer.json["id"])
            else:
                tell(batch, one, str(bait.status))
        assert [item["id"] for item in answer.json["items"]] == [IDS[number] for number in chosen]

    @precondition(lambda self: self.batches)
    @rule(pick=picks)
    def delete_a_batch(self, pick: int) -> None:
        name = list(self.batches)[pick % len(self.batches)]  # their names are random
        batch = self.batches[name]
        answer = self.call("DELETE", f"/v1/batches/{name}", batch.caller)
        if batch.ended and not batch.dismissed:
            assert answer.status_code == 204
            assert self.call("GET", f"/v1/batches/{name}", batch.caller).status_code == 404
            del self.batches[name]
            return
        assert (answer.status_code, answer.json["status"]) == (200, "dismissed")
        batch.dismissed = True
        for one in batch.outcomes:
            bait = self.baits[batch.caller, one]
            wanted = name in bait.wants
            bait.wants.discard(name)
            tell(batch, one, "dismissed")
            if wanted and not bait.wants:
                bait.ended("dismissed", self.batches)
        batch.sealed = True
