"""One blueprint a resource."""

from __future__ import annotations

from flask import Flask

from service.routes import baits, documents, estimates, files, health, plastics, styles, webhooks

BLUEPRINTS = (
    styles.blueprint,
    plastics.blueprint,
    estimates.blueprint,
    baits.blueprint,
    files.blueprint,
    webhooks.blueprint,
    documents.blueprint,
    health.blueprint,
)


def register(app: Flask) -> None:
    """Put every resource on this application."""
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
