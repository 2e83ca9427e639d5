"""What gunicorn loads: `service.wsgi:app`."""

from __future__ import annotations

from service.app import create_app
from worker.records.logs import log_to_stderr
from worker.settings import load

_settings = load()
log_to_stderr(_settings.log_level, _settings.log_format)
app = create_app(_settings)
