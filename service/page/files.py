"""The built page: each file read once, packed once, named by its content so that a browser may keep it for good."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from service.packing import PackedText, pack

BUILT = Path(__file__).parent / "built"
"""What `service/page/build.mjs` writes."""
START = "index.html"

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)
"""Scripts, styles, pictures and calls of this host alone; nothing inline, and no text that becomes a script."""


_HASHED = re.compile(r"-[0-9A-Z]{8}\.[a-z0-9]+$")
_TYPES = {
    ".html": "text/html",
    ".js": "text/javascript",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".txt": "text/plain",
    ".woff2": "font/woff2",
}


@cache
def page_files() -> dict[str, PackedText]:
    """Every file of the page by its name."""
    return {path.name: _read(path) for path in sorted(BUILT.iterdir()) if path.is_file()}


def named_by_content(name: str) -> bool:
    """Whether the name changes with what is in it."""
    return _HASHED.search(name) is not None


def _read(path: Path) -> PackedText:
    kind = _TYPES[path.suffix]
    if kind.startswith("text/"):
        kind += "; charset=utf-8"
    return pack(path.read_bytes(), kind)
