"""How gunicorn serves us: `gunicorn -c service/gunicorn_conf.py service.wsgi:app`.

One process with many threads: requests wait for the store, for files and for baits, and geometry never runs
here. `WEB_CONCURRENCY`, gunicorn's own variable, makes it more processes. Put a buffering proxy in front
where clients may be slow on purpose: a thread is held while a request comes in.
"""

from __future__ import annotations

import gc
import os
import shutil
import sys
import tempfile
from typing import Any

from service.counts_folder import MULTIPROCESS, forget
from service.keys.guard import hosts_of, require_keys
from service.places import require_start
from service.prefer import LONGEST_WAIT_S
from worker.errors import SettingsInvalid
from worker.settings import load

try:
    _settings = load()
    require_start(_settings)
except SettingsInvalid as invalid:
    sys.exit(f"{invalid.title}: {invalid.detail}")  # a sentence, where gunicorn would show a traceback

_COUNTS = "pourwright-metrics-"
_host = f"[{_settings.host}]" if ":" in _settings.host else _settings.host
bind = [f"{_host}:{_settings.port}"]
if _settings.metrics_port:
    _metrics_host = f"[{_settings.metrics_host}]" if ":" in _settings.metrics_host else _settings.metrics_host
    bind.append(f"{_metrics_host}:{_settings.metrics_port}")
    # Read by the client library when it is first imported, in each process; a reload finds it set and keeps it.
    if MULTIPROCESS not in os.environ:
        os.environ[MULTIPROCESS] = tempfile.mkdtemp(prefix=_COUNTS)
worker_class = "service.server_worker.ProblemWorker"
threads = _settings.web_threads
worker_connections = 1000 + _settings.web_threads

# Each process opens its own connections after the fork, and a new one can load what was installed meanwhile.
preload_app = False

keepalive = 75  # longer than common proxies keep their side open, so that they and not we close it
timeout = 60  # for the process as a whole; a thread that waits does not count
graceful_timeout = LONGEST_WAIT_S + 5

# gunicorn 27 opens a socket for commands in the home folder unless told not to.
control_socket_disable = True

# Its sign of life is a file's time; on a disk that stalls the process would be taken for dead.
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None

logger_class = "service.server_worker.JsonLogger"
accesslog = None  # the proxy in front keeps one
errorlog = "-"
loglevel = _settings.log_level


def when_ready(arbiter: Any) -> None:
    """Before anything is accepted: `--bind` may have named other places than our settings did."""
    try:
        require_keys(_settings, hosts_of(arbiter.LISTENERS))
    except SettingsInvalid as refused:
        sys.exit(f"{refused.title}: {refused.detail}")


def post_worker_init(worker: Any) -> None:
    """The application is loaded, for as long as the process lives: whoever looks for garbage need not look there.

    To go through all of it takes a tenth of a second, in which no request is answered.
    """
    gc.collect()
    gc.freeze()


def child_exit(arbiter: Any, worker: Any) -> None:
    """A process has ended: what it counted stays, what it measured of itself goes."""
    if MULTIPROCESS in os.environ:
        forget(worker.pid)


def on_exit(arbiter: Any) -> None:
    """All have ended."""
    if _settings.metrics_port and os.path.basename(os.environ[MULTIPROCESS]).startswith(_COUNTS):
        shutil.rmtree(os.environ[MULTIPROCESS], ignore_errors=True)  # ours, and not one that somebody named
