"""The reference page at `/docs`: one HTML file made from the OpenAPI document."""

from service.reference_page.page import content_security_policy, render

__all__ = ["content_security_policy", "render"]
