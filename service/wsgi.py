"""What gunicorn loads: `service.wsgi:app`."""

from __future__ import annotations

from typing import Any

from service.app import create_app
from service.metrics import MetricsDoor
from worker.records.connect import for_service
from worker.records.logs import log_to_stderr
from worker.settings import load

_settings = load()
log_to_stderr(_settings.log_level, _settings.log_format)
_app = create_app(_settings)
app: Any = MetricsDoor(_app, for_service(_settings), _settings.metrics_port) if _settings.metrics_port else _app
