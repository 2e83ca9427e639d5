"""Where the service listens and where its counts lie: what would fail at the start, told beforehand in sentences."""

from __future__ import annotations

import errno
import os
import socket
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from service.counts_folder import MULTIPROCESS
from service.keys.guard import require_keys
from worker.errors import Fault, SettingsInvalid
from worker.settings import Settings


def require_start(settings: Settings, environ: Mapping[str, str] = os.environ) -> None:
    """Raise SettingsInvalid for all that the service could not start with on this machine.

    A port that another program holds is none of it: that passes, and a service that runs may be asked about itself.
    """
    faults = list(_of_places(settings, environ))
    try:
        require_keys(settings)
    except SettingsInvalid as refused:
        if not refused.faults:
            raise
        faults += refused.faults
    if faults:
        raise SettingsInvalid("; ".join(fault.detail for fault in faults), faults)


def claim(host: str, port: int) -> int:
    """Listen there for a moment: the port, or a free one for 0. Raises OSError."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    family, kind, protocol, _, address = found[0]
    with socket.socket(family, kind, protocol) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)  # as gunicorn does
        trial.bind(address)
        trial.listen(1)
        return int(trial.getsockname()[1])


def why_not(reason: OSError, host: str, port: int, of: str = "") -> Fault:
    """What stands in the way of listening there, with the setting that says otherwise; `of`: METRICS_ or nothing."""
    at_port, at_host = f"POURWRIGHT_{of}PORT", f"POURWRIGHT_{of}HOST"
    setting, why = {
        errno.EADDRINUSE: (at_port, f"another program listens on it. Stop that one, or set {at_port} to a free port"),
        errno.EACCES: (at_port, f"ports below 1024 need rights that we lack. Set {at_port} to a higher one"),
    }.get(reason.errno or 0, (at_host, f"{reason.strerror}. Set {at_host} to an address of this machine"))
    return Fault(f"/{setting}", "cannot-listen", f"{setting}: nothing can listen on {host}, port {port}: {why}")


def _of_places(settings: Settings, environ: Mapping[str, str]) -> Iterator[Fault]:
    places = [(settings.host, settings.port, "")]
    if settings.metrics_port:
        places.append((settings.metrics_host, settings.metrics_port, "METRICS_"))
        if settings.metrics_port == settings.port:  # which of the two is asked is told by the port alone
            detail = f"POURWRIGHT_METRICS_PORT: {settings.port} is the service's own port"
            yield Fault("/POURWRIGHT_METRICS_PORT", "not-together", detail, "another than POURWRIGHT_PORT")
        if (why := _no_room_for_counts(environ)) is not None:
            yield Fault(f"/{MULTIPROCESS}", "cannot-write", f"{MULTIPROCESS}: {why}", "a folder, or unset")
    for host, port, of in places:
        try:
            claim(host, port)
        except UnicodeError:  # of a name with an empty part, or one of 64 letters
            reason = OSError(None, "It is not a host's name")
            yield why_not(reason, host, port, of)
        except OSError as reason:
            if reason.errno != errno.EADDRINUSE:
                yield why_not(reason, host, port, of)


def _no_room_for_counts(environ: Mapping[str, str]) -> str | None:
    named = environ.get(MULTIPROCESS)
    try:
        folder = Path(tempfile.gettempdir()) if named is None else Path(named)
        with tempfile.TemporaryFile(dir=folder):
            return None
    except OSError as reason:
        told = repr(named) if named else "the folder for temporary files"
        return f"the counts of requests cannot be written to {told}: {reason.strerror}"
