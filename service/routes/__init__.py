"""One blueprint a resource."""

from __future__ import annotations

from flask import Flask

from service.routes import (
    baits,
    batches,
    documents,
    estimates,
    files,
    fits,
    health,
    links,
    measurements,
    page,
    plastics,
    styles,
    webhooks,
)

BLUEPRINTS = (
    styles.blueprint,
    plastics.blueprint,
    measurements.blueprint,
    estimates.blueprint,
    baits.blueprint,
    batches.blueprint,
    files.blueprint,
    fits.blueprint,
    links.blueprint,
    webhooks.blueprint,
    documents.blueprint,
    page.blueprint,
    health.blueprint,
)


def register(app: Flask) -> None:
    """Put every resource on this application."""
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
