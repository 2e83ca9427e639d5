"""The application: what is put together, and nothing else."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Flask

from service import cors, headers, own_name, problems, routes, seen
from service.backing import Backing
from service.caller import identify_caller
from service.counting import count_call
from service.stores import open_backing
from worker.settings import Settings


class Application(Flask):
    """Flask without its look, at each of eight functions a call, whether it is asynchronous: none of ours is."""

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """As it is."""
        return func


def create_app(settings: Settings, backing: Backing | None = None) -> Flask:
    """The WSGI application. `backing` is opened from the settings unless a test brings its own."""
    app = Application("service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.body_limit_bytes
    app.url_map.merge_slashes = False  # `//v1/styles` is an unknown address, not a redirect
    app.extensions["pourwright"] = backing or open_backing(settings)
    app.config["POURWRIGHT_KEPT"] = settings.keep_hours, settings.keep_mib
    app.config["POURWRIGHT_TRY_KEY"] = settings.try_key
    seen.register(app, counted=settings.metrics_port != 0)
    own_name.register(app, settings)
    app.before_request(identify_caller)
    app.before_request(count_call)
    headers.register(app)
    cors.register(app, settings.cors_origins)
    problems.register(app)
    routes.register(app)
    return app
