"""The OpenAPI 3.1 document, made from the declarations that the service itself reads by.

`python -m service.openapi` writes it to `openapi/openapi.json`; a test holds the two equal.
"""

from service.openapi.document import document, document_text

__all__ = ["document", "document_text"]
