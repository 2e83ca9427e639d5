"""Drawings of parameters in the web process: each made once, one at a time, with a line of its own before it.

Like estimates they are arithmetic and hold the interpreter. Their line is not the estimates' one: a page asks for many
drawings at once, and nobody who moves a slider should stand behind them.
"""

from __future__ import annotations

from collections.abc import Callable

from service.answers import etag_of
from service.turns import Turns
from worker.styles import Style

Tagged = tuple[bytes, str]
"""A drawing's bytes and its entity tag."""


class Drawings:
    """Keeps every drawing that was asked for: there is a fixed number of them, of some ten thousand bytes each."""

    def __init__(self, draw: Callable[[Style, str], str], waiting: int) -> None:
        self._draw = draw
        self._turns = Turns(waiting, "Too many drawings are waiting; ask again in a moment.")
        self._made: dict[tuple[str, ...], Tagged] = {}

    def __call__(self, style: Style, parameter: str) -> Tagged:
        """The drawing of a parameter that the style has. Raises Busy where the line is full."""
        return self.other((style.name, parameter), lambda: self._draw(style, parameter))

    def other(self, key: tuple[str, ...], draw: Callable[[], str]) -> Tagged:
        """A drawing of something else, kept by its key. Raises Busy where the line is full."""
        return self._made.get(key) or self._turns.run(lambda: self._kept(key, draw))

    def _kept(self, key: tuple[str, ...], draw: Callable[[], str]) -> Tagged:
        # Whoever stood in line behind the one that made it finds it here.
        if key not in self._made:
            content = draw().encode()
            self._made[key] = content, etag_of(content)
        return self._made[key]

    @property
    def full(self) -> bool:
        """Whether the next one that is not made yet would be refused."""
        return self._turns.full
