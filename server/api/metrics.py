"""Counters of this process, for Prometheus; every app has its own, so tests never share them."""

from __future__ import annotations

import logging
import time
from typing import Final

from flask import Flask, Response, g, request
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest
from prometheus_client.process_collector import ProcessCollector

from server.api.streams import Seats

EXTENSION: Final = "rowcall_metrics"
BUCKETS: Final = (0.005, 0.01, 0.025, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 15)
# Anything may stand for a method in a request; each label that is kept takes memory.
METHODS: Final = frozenset({"GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE"})
log = logging.getLogger("rowcall.requests")


class Metrics:
    """What one process counts."""

    def __init__(self, seats: Seats) -> None:
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        names = ("endpoint", "method", "status")
        self.requests = Counter(
            "rowcall_requests", "Requests answered", names, registry=self.registry
        )
        self.seconds = Histogram(
            "rowcall_request_seconds",
            "Time to answer, streams left out",
            ("endpoint",),
            buckets=BUCKETS,
            registry=self.registry,
        )
        self.events = Counter("rowcall_events_stored", "Facts stored", registry=self.registry)
        self.refused = Counter("rowcall_events_refused", "Facts refused", registry=self.registry)
        streams = Gauge("rowcall_streams", "Live streams open", registry=self.registry)
        streams.set_function(lambda: seats.taken)

    def text(self) -> bytes:
        return generate_latest(self.registry)


def register(app: Flask, metrics: Metrics) -> None:
    """Count and log every request; paths are logged, bodies and cookies never."""
    app.extensions[EXTENSION] = metrics

    @app.before_request
    def start() -> None:
        g.started = time.perf_counter()

    @app.after_request
    def end(response: Response) -> Response:
        seconds = time.perf_counter() - g.get("started", time.perf_counter())
        endpoint = request.endpoint or "none"
        method = request.method if request.method in METHODS else "other"
        metrics.requests.labels(endpoint, method, response.status_code).inc()
        if response.mimetype != "text/event-stream":
            metrics.seconds.labels(endpoint).observe(seconds)
        log.info(
            "request",
            extra={
                "fields": {
                    "method": request.method,
                    "path": request.path,
                    "status": response.status_code,
                    "ms": round(seconds * 1000, 1),
                    "from": request.remote_addr,
                }
            },
        )
        return response
