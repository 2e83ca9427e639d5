"""The client: estimates, baits, fits, files and links; batches and what is kept by name hang on it."""

from __future__ import annotations

import io
import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar, overload
from urllib.parse import quote

import urllib3

from pourwright_client import reading
from pourwright_client.batches import Batches
from pourwright_client.encoding import JSON_BODY, encoded, idempotent
from pourwright_client.errors import EndedBadly, StillUnderWay
from pourwright_client.files import fetched, whole_or_not
from pourwright_client.kept import HouseStyles, Plastics, Webhooks
from pourwright_client.records import UNDER_WAY, Bait, File, Fit, Json, Link
from pourwright_client.transport import LONGEST_WAIT_S, Answer, Deadline, Transport

Ended = TypeVar("Ended", Bait, Fit)


class Client:
    """One Pourwright service, such as `http://127.0.0.1:8080`. Safe among threads.

    Every call may raise the exceptions of `errors`. It is made again where the service says when to come back (429 and
    503 with Retry-After) and where no answer came and nothing is done twice by it, for `patience_s` seconds at most.
    """

    def __init__(
        self,
        url: str,
        key: str | None = None,
        *,
        patience_s: float = 120.0,
        pool: urllib3.PoolManager | None = None,
    ) -> None:
        """`key`: of the service, where it has keys; left out, `POURWRIGHT_KEY` of the environment.

        `pool`: connections of your own making, for a proxy or a private certificate.
        """
        key = os.environ.get("POURWRIGHT_KEY") if key is None else key
        self.transport = Transport(url, key or None, pool or urllib3.PoolManager(maxsize=8))
        self.patience_s = patience_s
        self.batches = Batches(self.transport, patience_s)
        self.house_styles = HouseStyles(self.transport, patience_s)
        self.plastics = Plastics(self.transport, patience_s)
        self.webhooks = Webhooks(self.transport, patience_s)

    def estimate(self, request: Json) -> Bait:
        """All that is known of a bait without its mesh, in milliseconds: figures and checks. `files` stays empty."""
        answer = self.transport.call(
            "POST", "/v1/estimates", self._until(None), body=encoded(request), headers=JSON_BODY
        )
        return reading.bait(answer.json())

    def build(self, request: Json, *, within_s: float | None = None) -> Bait:
        """The bait of a request, built. Raises EndedBadly, StillUnderWay.

        The same request is the same bait: to build again what has been built costs a call.
        """
        return self._made("/v1/baits", request, {}, within_s, reading.bait)

    def order(self, request: Json) -> Bait:
        """Asks for a bait and does not wait; `wait`, or a webhook, tells of its end."""
        answer = self.transport.call("POST", "/v1/baits", self._until(None), body=encoded(request), headers=JSON_BODY)
        return reading.bait(answer.json())

    def bait(self, bait_id: str) -> Bait:
        """A bait as it stands. Raises NotThere."""
        return reading.bait(self._got(f"/v1/baits/{quote(bait_id, safe='')}"))

    @overload
    def wait(self, made: Bait | str, *, within_s: float | None = None) -> Bait: ...
    @overload
    def wait(self, made: Fit, *, within_s: float | None = None) -> Fit: ...
    def wait(self, made: Bait | Fit | str, *, within_s: float | None = None) -> Bait | Fit:
        """A bait, also by its id, or a fit once it has ended. Raises EndedBadly, StillUnderWay."""
        deadline = self._until(within_s)
        if isinstance(made, Fit):
            return self._awaited(f"/v1/fits/{quote(made.id, safe='')}", deadline, reading.fit)
        bait_id = made if isinstance(made, str) else made.id
        return self._awaited(f"/v1/baits/{quote(bait_id, safe='')}", deadline, reading.bait)

    def remove(self, made: Bait | Fit) -> None:
        """Dismisses what is under way, removes what has ended."""
        self.transport.call("DELETE", made.links["self"], self._until(None), repeatable=False)

    def fit(self, request: Json, *, within_s: float | None = None, idempotency_key: str | None = None) -> Fit:
        """What a search found. Raises EndedBadly, StillUnderWay.

        It goes out with an idempotency key, one of its own unless you bring yours, so that a search whose answer was
        lost on the way is not begun a second time.
        """
        return self._made("/v1/fits", request, idempotent(idempotency_key), within_s, reading.fit)

    def search(self, request: Json, *, idempotency_key: str | None = None) -> Fit:
        """Asks for a fit and does not wait; `wait`, or a webhook, tells of its end. A small one has ended at once."""
        headers = {**JSON_BODY, **idempotent(idempotency_key)}
        answer = self.transport.call("POST", "/v1/fits", self._until(None), body=encoded(request), headers=headers)
        return reading.fit(answer.json())

    def found(self, fit_id: str) -> Fit:
        """A fit as it stands. Raises NotThere."""
        return reading.fit(self._got(f"/v1/fits/{quote(fit_id, safe='')}"))

    def fetch(self, file: File) -> bytes:
        """A file's bytes. Raises WrongBytes unless length, SHA-256 and Repr-Digest are what the manifest says."""
        into = io.BytesIO()
        fetched(self.transport, file, into, self._until(None))
        return into.getvalue()

    def download(self, file: File, path: str | os.PathLike[str]) -> Path:
        """The same into a file, which is there whole or not at all. Returns its path."""
        to = Path(path)
        with whole_or_not(to) as into:
            fetched(self.transport, file, into, self._until(None))
        return to

    def save(self, made: Bait | Fit, folder: str | os.PathLike[str]) -> tuple[Path, ...]:
        """Every file of a bait or a fit into a folder. Raises WrongBytes; ValueError for a name that leads out."""
        for file in made.files:
            if Path(file.name).name != file.name or file.name in ("", ".", ".."):
                raise ValueError(f"{file.name!r} is no file name")
        return tuple(self.download(file, Path(folder) / file.name) for file in made.files)

    def link(self, file: File, bait: Bait, *, seconds: int = 86_400) -> Link:
        """An address, whole, that opens this one file without a key until it expires."""
        wanted = {"bait": bait.id, "file": file.name, "seconds": seconds}
        answer = self.transport.call("POST", "/v1/links", self._until(None), body=encoded(wanted), headers=JSON_BODY)
        told = answer.json()
        return reading.link({**told, "href": self.transport.address(str(told["href"]))})

    def styles(self) -> tuple[Json, ...]:
        """Every style: title, summary, example, `params_schema`."""
        return tuple(self._got("/v1/styles")["styles"])

    def style(self, name: str) -> Json:
        """One style, with the strands that its example becomes. Raises NotThere."""
        told: Json = self._got(f"/v1/styles/{quote(name, safe='')}")
        return told

    def _until(self, within_s: float | None) -> Deadline:
        return Deadline.within(self.patience_s if within_s is None else within_s)

    def _got(self, place: str) -> Any:
        return self.transport.call("GET", place, self._until(None)).json()

    def _made(
        self, place: str, request: Json, more: Mapping[str, str], within_s: float | None, read: Callable[[Json], Ended]
    ) -> Ended:
        deadline = self._until(within_s)
        headers = {**JSON_BODY, **more, **_waiting(deadline)}
        answer = self.transport.call("POST", place, deadline, body=encoded(request), headers=headers)
        return self._awaited(answer.headers.get("Location", ""), deadline, read, answer)

    def _awaited(
        self, place: str, deadline: Deadline, read: Callable[[Json], Ended], answer: Answer | None = None
    ) -> Ended:
        while True:
            if answer is None:
                answer = self.transport.call("GET", place, deadline, headers=_waiting(deadline))
            made = read(answer.json())
            if made.status == "successful":
                return made
            if made.status not in UNDER_WAY:
                raise EndedBadly(made)
            # Who was not waited for (no free waiter) comes back when told; who was may ask for the next wait at once.
            pause_s = 0.0 if "Preference-Applied" in answer.headers else answer.retry_after_s or 1.0
            if deadline.left_s < 1.0 or not deadline.pause(pause_s):
                raise StillUnderWay(made.id, made.status, deadline.patience_s)
            answer = None


def _waiting(deadline: Deadline) -> dict[str, str]:
    seconds = min(LONGEST_WAIT_S, int(deadline.left_s))
    return {"Prefer": f"wait={seconds}"} if seconds else {}
