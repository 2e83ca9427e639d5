"""Metrics in Prometheus' form, on an address of their own: what this service answered, and how the store stands.

Counts of requests are kept in files that all processes of one service share (the client library's multiprocess mode,
set up by `gunicorn_conf`). Jobs end in processes that live for seconds, so what is counted of them stands in the store
and is the same whichever service is asked: take the greatest of several, not their sum.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import CounterMetricFamily, GaugeMetricFamily, HistogramMetricFamily, Metric
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import REGISTRY, Collector
from redis import Redis
from redis.exceptions import RedisError

from service.counts_folder import MULTIPROCESS
from worker.records.liveness import alive_workers, courier_alive
from worker.records.tally import SECONDS, STEPS, read_standing

CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH"})

# Labels have few values each: the addresses as routes, not as they were called, and the class of the status.
REQUESTS = Counter(
    "pourwright_http_requests_total", "Requests that were answered.", ("route", "method", "status"), registry=REGISTRY
)
DURATIONS = Histogram(
    "pourwright_http_request_seconds",
    "From a request's headers to the answer's.",
    ("route", "method"),
    buckets=(0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30),
    registry=REGISTRY,
)

WsgiApp = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]


def count_request(method: str, route: str, status: int, seconds: float) -> None:
    """Count one answer."""
    named = method if method in _METHODS else "other"
    REQUESTS.labels(route, named, f"{status // 100}xx").inc()
    DURATIONS.labels(route, named).observe(seconds)


class StoreCollector(Collector):
    """What the store knows. Where it does not answer, `pourwright_store_up` says so and the rest is left out."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection

    def collect(self) -> Iterator[Metric]:
        """See Collector."""
        up = GaugeMetricFamily("pourwright_store_up", "Whether the store answers.")
        try:
            standing = read_standing(self._connection)
            workers, courier = alive_workers(self._connection), courier_alive(self._connection)
        except RedisError:
            up.add_metric([], 0)
            yield up
            return
        up.add_metric([], 1)
        yield up
        yield GaugeMetricFamily("pourwright_workers", "Workers that are alive.", value=workers)
        yield GaugeMetricFamily("pourwright_courier_up", "Whether a courier delivers webhooks.", value=int(courier))
        yield GaugeMetricFamily("pourwright_outbox", "Endings that no courier has taken.", value=standing.outbox)
        yield GaugeMetricFamily(
            "pourwright_webhooks_due", "Webhooks with messages to be sent.", value=standing.webhooks_due
        )
        for name, told, help_text in (
            ("pourwright_baits_waiting", standing.waiting, "Baits that wait, by lane."),
            ("pourwright_baits_in_flight", standing.in_flight, "Baits handed over or being built, by lane."),
        ):
            gauge = GaugeMetricFamily(name, help_text, labels=["lane"])
            for lane, number in told.items():
                gauge.add_metric([lane], number)
            yield gauge
        yield _counted(standing.counts, "ended", "pourwright_jobs", "Baits by lane and ending.", ["lane", "ending"])
        yield _counted(
            standing.counts,
            "delivery",
            "pourwright_deliveries",
            "Tries to deliver to webhooks, and what was dropped untried.",
            ["outcome"],
        )
        yield _steps(standing.counts)


def _counted(counts: dict[str, float], kind: str, name: str, help_text: str, labels: list[str]) -> Metric:
    family = CounterMetricFamily(name, help_text, labels=labels)
    for key, number in sorted(counts.items()):
        head, *values = key.split(":")
        if head == kind and len(values) == len(labels):
            family.add_metric(values, number)
    return family


def _steps(counts: dict[str, float]) -> Metric:
    family = HistogramMetricFamily("pourwright_build_seconds", "Seconds of a build, by step.", labels=["step"])
    for step in STEPS:
        within, buckets = 0.0, []
        for place, edge in enumerate((*map(str, SECONDS), "+Inf")):
            within += counts.get(f"step:{step}:{place}", 0.0)
            buckets.append((edge, within))
        family.add_metric([step], buckets, counts.get(f"step:{step}:sum", 0.0))
    return family


def metrics_text(connection: Redis) -> bytes:
    """All of it, as it is scraped."""
    own = CollectorRegistry()
    if os.environ.get(MULTIPROCESS):
        MultiProcessCollector(own)  # type: ignore[no-untyped-call]
        text = generate_latest(own)
    else:
        text = generate_latest(REGISTRY)
    of_store = CollectorRegistry()
    of_store.register(StoreCollector(connection))
    return bytes(text + generate_latest(of_store))


class MetricsDoor:
    """Answers `/metrics` on its own port, and nothing else there; every other port goes to the application.

    The port is the one of the socket that the call came in by, whatever its headers say.
    """

    def __init__(self, app: WsgiApp, connection: Redis, port: int) -> None:
        self._app = app
        self._connection = connection
        self._port = port
        self.extensions = getattr(app, "extensions", {})  # the server's worker looks for what is behind the application

    def __call__(self, environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        """WSGI."""
        if environ.get("SERVER_PORT") != str(self._port):
            return self._app(environ, start_response)
        known = environ["PATH_INFO"] == "/metrics" and environ["REQUEST_METHOD"] in ("GET", "HEAD")
        content = metrics_text(self._connection) if known else b"Metrics are at /metrics.\n"
        fields = [
            ("Content-Type", CONTENT_TYPE if known else "text/plain; charset=utf-8"),
            ("Content-Length", str(len(content))),
            ("Cache-Control", "no-store"),
            ("X-Content-Type-Options", "nosniff"),
        ]
        start_response("200 OK" if known else "404 Not Found", fields)
        return [content] if environ["REQUEST_METHOD"] != "HEAD" else [b""]
