"""`python -m service.stack.serve`: store, workers, courier and service in the foreground, until SIGINT or SIGTERM."""

from __future__ import annotations

import argparse
import http.client
import os
import sys
from contextlib import ExitStack
from pathlib import Path

from service.places import claim, require_start, why_not
from service.stack.failure import StartFailed
from service.stack.store import own_store
from service.stack.supervise import Program, Supervisor
from worker.console import run
from worker.errors import ArtifactsUnavailable, SettingsInvalid
from worker.records.check_bucket import check_bucket
from worker.settings import Settings, load
from worker.settings.told import check_config

CHECKOUT = Path(__file__).resolve().parents[2]
# A little more than each of them takes by its own rules to end what it is doing.
WEB_STOPS_WITHIN_S = 40.0
POOL_STOPS_WITHIN_S = 15.0  # beyond the time that a bait may take; a fit that takes longer is put back in line
HINT = "Its own message stands above."
COURIER_STOPS_WITHIN_S = 10.0  # beyond the time that one delivery may take


def main(arguments: list[str] | None = None) -> int:
    """Run until stopped: 0. Returns 1 where the stack cannot start, 2 where the settings cannot be used."""
    parser = argparse.ArgumentParser(
        prog="python -m service.stack.serve", description="Store, workers, courier and service."
    )
    parser.add_argument("--check-config", action="store_true", help="tell every setting's value, refuse bad ones, end")
    if parser.parse_args(arguments).check_config:
        return check_config(_check)
    try:
        settings = load()
        require_start(settings)
        return serve(settings)
    except SettingsInvalid as invalid:
        print(f"{invalid.title}: {invalid.detail}", file=sys.stderr)
        return 2
    except StartFailed as failure:
        print(failure, file=sys.stderr)
        return 1


def _check() -> None:
    """Raises SettingsInvalid where the stack would not start, or not do its work, with these settings."""
    settings = load()
    require_start(settings)
    try:
        check_bucket(settings)
    except ArtifactsUnavailable as away:
        raise SettingsInvalid(f"POURWRIGHT_ARTIFACTS: {away.detail}") from away


def serve(settings: Settings) -> int:
    """Start all and watch it. Raises StartFailed where it can be seen beforehand that it will not work."""
    port = claimable_port(settings.host, settings.port)
    if settings.metrics_port:
        claimable_port(settings.metrics_host, settings.metrics_port, "METRICS_")
    with ExitStack() as stack:
        programs = []
        store_url = settings.store_url
        if store_url is None:
            store = stack.enter_context(own_store(settings.state_dir))
            store_url = store.url
            programs.append(store.program())
        environment = {
            **os.environ,
            "POURWRIGHT_STORE_URL": store_url,
            "POURWRIGHT_PORT": str(port),
            "POURWRIGHT_STATE_DIR": str(settings.state_dir),
        }
        programs += [
            _of_workers("pool of workers", "worker.jobs", environment, settings.job_limit_s + POOL_STOPS_WITHIN_S),
            _of_workers(
                "courier of webhooks", "worker.hooks", environment, settings.webhook_limit_s + COURIER_STOPS_WITHIN_S
            ),
        ]
        programs.append(_web(settings.host, port, environment))
        address = f"http://{_in_url(settings.host)}:{port}"
        return Supervisor(
            programs,
            report=lambda sentence: print(sentence, file=sys.stderr, flush=True),
            when_up=lambda: print(f"Pourwright listens on {address} (Ctrl-C stops it)", flush=True),
        ).run()


def _of_workers(name: str, module: str, environment: dict[str, str], stop_within_s: float) -> Program:
    return Program(
        name=name,
        command=[sys.executable, "-m", module],
        environment=environment,
        folder=CHECKOUT,
        stop_within_s=stop_within_s,
        hint=HINT,
    )


def _web(host: str, port: int, environment: dict[str, str]) -> Program:
    """The service counts as up when it says that its store answers and a worker lives."""
    return Program(
        name="service",
        command=[sys.executable, "-m", "gunicorn", "-c", "python:service.gunicorn_conf", "service.wsgi:app"],
        environment=environment,
        folder=CHECKOUT,
        is_ready=lambda: answers_ok(host, port, "/readyz"),
        stop_within_s=WEB_STOPS_WITHIN_S,
        hint=HINT,
    )


def answers_ok(host: str, port: int, path: str) -> bool:
    """Whether a GET on our own service answers 200. No proxy that the environment names is asked."""
    connection = http.client.HTTPConnection(_reachable(host), port, timeout=2)
    try:
        connection.request("GET", path)
        return connection.getresponse().status == http.HTTPStatus.OK
    except (OSError, http.client.HTTPException):
        return False
    finally:
        connection.close()


def claimable_port(host: str, port: int, of: str = "") -> int:
    """The port, or a free one for 0. Raises StartFailed where we could not listen on it; `of`: METRICS_ or nothing."""
    try:
        return claim(host, port)
    except OSError as reason:
        told = why_not(reason, host, port, of).detail.partition(": nothing can ")[2]
        raise StartFailed(f"The service cannot {told}.") from reason


def _reachable(host: str) -> str:
    """Where to reach a service that listens on every address of the machine."""
    return {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)


def _in_url(host: str) -> str:
    return f"[{host}]" if ":" in host else host


if __name__ == "__main__":
    sys.exit(run(main))
