"""Stand-ins for what lies behind the routes: baits in memory that end when a test says so."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from service.rates import Standing
from worker.errors import StoreUnavailable, UnknownResource
from worker.records.baits import Submittable
from worker.records.fits import Work
from worker.records.names import ENDED
from worker.records.view import BaitView, Submission
from worker.records.webhooks import Standing as WebhookStanding
from worker.records.webhooks import Webhook

CREATED = "2026-03-01T08:00:00.000Z"
FINISHED = "2026-03-01T08:00:02.000Z"


class FakeBaits:
    """Baits of every caller in memory, and their files. `during_wait` happens while somebody waits."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.kept: dict[tuple[str, str], BaitView] = {}
        self.jobs: list[str] = []
        self.traces: list[str] = []
        self.used: list[str] = []
        self.now = 0.0
        self.path_asked = 0
        self.away = False
        self.during_wait: Callable[[str], None] = lambda bait_id: None

    def submit(self, caller: str, request: Submittable, *, trace: str = "") -> Submission:
        self._answer()
        self.traces.append(trace)
        known = self.kept.get((caller, request.id))
        if known is not None and known.status != "dismissed":
            return Submission(known, False)
        attempt = known.attempt + 1 if known else 1
        bait = self.kept[caller, request.id] = BaitView(
            id=request.id, status="accepted", attempt=attempt, request=request.normal, created=CREATED
        )
        self.jobs.append(request.id)
        return Submission(bait, True)

    def view(self, caller: str, bait_id: str) -> BaitView | None:
        self._answer()
        return self.kept.get((caller, bait_id))

    def wait(self, caller: str, bait_id: str, seconds: float) -> BaitView | None:
        self.during_wait(bait_id)
        view = self.view(caller, bait_id)
        if view is not None and view.status not in ENDED:
            self.now += seconds
        return view

    def clock(self) -> float:
        """Time that goes on only while somebody waits."""
        return self.now

    def dismiss(self, caller: str, bait_id: str) -> BaitView | None:
        known = self.view(caller, bait_id)
        if known is not None and known.status not in ENDED:
            known = self._change(caller, bait_id, status="dismissed", finished=FINISHED)
        return known

    def delete(self, caller: str, bait_id: str) -> bool:
        self._answer()
        return self.kept.pop((caller, bait_id), None) is not None

    def of_plastic(self, caller: str, plastic: str, most: int) -> tuple[list[BaitView], int]:
        self._answer()
        found = [
            bait
            for (owner, _), bait in reversed(self.kept.items())
            if owner == caller and bait.request["plastic"].get("name") == plastic
        ]
        return found[:most], len(found)

    def note_use(self, caller: str, bait_ids: Iterable[str]) -> bool:
        self.used += (asked := list(bait_ids))
        return all((caller, one) in self.kept for one in asked)

    def file(self, caller: str, bait_id: str, name: str) -> Path:
        self.path_asked += 1
        path = self.folder / name
        if not path.exists():
            raise UnknownResource("There is no such file.")
        return path

    # What a worker would do

    def run(self, bait_id: str, caller: str = "local") -> None:
        self._change(caller, bait_id, status="running")

    def succeed(self, bait_id: str, caller: str = "local", **contents: bytes) -> None:
        files = []
        for name, content in (contents or {"bait.stl": b"a solid" * 100}).items():
            (self.folder / name).write_bytes(content)
            digest = hashlib.sha256(content).hexdigest()
            media_type, output = ("model/stl", "stl") if name.endswith(".stl") else ("application/json", None)
            entry = {
                "name": name,
                "output": output,
                "media_type": media_type,
                "bytes": len(content),
                "sha256": digest,
            }
            files.append(entry)
        metrics = {"length_mm": 127.0}
        self._change(caller, bait_id, status="successful", finished=FINISHED, files=files, metrics=metrics)

    def fail(self, bait_id: str, caller: str = "local") -> None:
        problem = {
            "type": "urn:pourwright:problem:time-limit",
            "title": "Too long",
            "detail": "It took too long.",
        }
        self._change(caller, bait_id, status="failed", finished=FINISHED, problem=problem)

    def _change(self, caller: str, bait_id: str, **members: Any) -> BaitView:
        changed = self.kept[caller, bait_id] = replace(self.kept[caller, bait_id], **members)
        return changed

    def _answer(self) -> None:
        if self.away:
            raise StoreUnavailable("The store does not answer; nothing was taken.")


class FakeFits(FakeBaits):
    """The same of fits; small ones are done at once."""

    def do(self, caller: str, request: Submittable, work: Work, *, trace: str = "") -> Submission:
        taken = self.submit(caller, request, trace=trace)
        if not taken.created:
            return taken
        done = work(request.normal)
        self.succeed(request.id, caller, **done.files)
        changed = self._change(caller, request.id, metrics=None, kind="fit", **done.members)
        return Submission(changed, True)


class FakeIdempotencyKeys:
    """Keys in memory."""

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str, str], str] = {}

    def bait_of(self, caller: str, route: str, key: str, bait_id: str) -> str:
        return self.kept.setdefault((caller, route, key), bait_id)


class FakeReadiness:
    """Ready until a test says what is missing."""

    def __init__(self) -> None:
        self.sentences: list[str] = []

    def missing(self) -> list[str]:
        return self.sentences

    def workers(self) -> int:
        return 2


class FakeDefinitions:
    """Plastics or house styles in memory."""

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str], dict[str, Any]] = {}

    def get(self, caller: str, name: str) -> dict[str, Any] | None:
        return self.kept.get((caller, name))

    def all(self, caller: str) -> dict[str, dict[str, Any]]:
        return {name: told for (owner, name), told in sorted(self.kept.items()) if owner == caller}

    def swap(self, caller: str, name: str, present: dict[str, Any] | None, wanted: dict[str, Any] | None) -> bool:
        if self.kept.get((caller, name)) != present:
            return False
        self.kept.pop((caller, name), None)
        if wanted is not None:
            self.kept[caller, name] = wanted
        return True


class FakeWebhooks:
    """Webhooks in memory; a test may say how one stands."""

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str], Webhook] = {}
        self.standings: dict[tuple[str, str], WebhookStanding] = {}

    def get(self, caller: str, name: str) -> tuple[Webhook, WebhookStanding] | None:
        webhook = self.kept.get((caller, name))
        return (
            None if webhook is None else (webhook, self.standings.get((caller, name), WebhookStanding(of=webhook.id)))
        )

    def all(self, caller: str) -> list[tuple[Webhook, WebhookStanding]]:
        found = (self.get(owner, name) for owner, name in sorted(self.kept) if owner == caller)
        return [one for one in found if one is not None]

    def swap(self, caller: str, name: str, present: Webhook | None, wanted: Webhook | None) -> bool:
        if self.kept.get((caller, name)) != present:
            return False
        self.kept.pop((caller, name), None)
        self.standings.pop((caller, name), None)
        if wanted is not None:
            self.kept[caller, name] = wanted
        return True


class FakeRates:
    """Counts in memory, in a minute that does not end; without a limit until a test sets one."""

    def __init__(self) -> None:
        self.quotas: dict[str, int] = {}
        self.counted: dict[tuple[str, str], int] = {}

    def count(self, policy: str, caller: str) -> Standing | None:
        calls = self.counted[policy, caller] = self.counted.get((policy, caller), 0) + 1
        if (quota := self.quotas.get(policy)) is None:
            return None
        return Standing(policy, quota, max(0, quota - calls), 42, calls > quota)
