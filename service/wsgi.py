"""What gunicorn loads: `service.wsgi:app`."""

from __future__ import annotations

from service.app import create_app
from worker.settings import load

app = create_app(load())
