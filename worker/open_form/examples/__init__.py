"""Worked examples of the open form, each a whole request: shown in the documents, built by the tests."""

from worker.open_form.examples.example import Example
from worker.open_form.examples.of_hollows import OF_HOLLOWS
from worker.open_form.examples.of_strands import OF_STRANDS

EXAMPLES: tuple[Example, ...] = (*OF_STRANDS, *OF_HOLLOWS)
"""One for each group of what a strand can be, then one for each kind of hollow."""

__all__ = ["EXAMPLES", "Example"]
