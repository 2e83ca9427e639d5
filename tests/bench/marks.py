"""Tables that are measured, in a file that people write."""

from __future__ import annotations


def between_marks(content: str, name: str, text: str) -> str:
    """The content with this text between `<!-- name -->` and `<!-- end of name -->`.

    Raises ValueError where they do not stand there once, in this order.
    """
    first, last = f"<!-- {name} -->", f"<!-- end of {name} -->"
    head, begin, rest = content.partition(first)
    _, end, tail = rest.partition(last)
    if not begin or not end or first in rest or last in tail:
        raise ValueError(f"the file has not {first} and, after it, {last}, once each")
    return f"{head}{first}\n\n{text}\n\n{last}{tail}"
