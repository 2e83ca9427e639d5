"""How the open form is read: strands and hollows, objects and lists made of the declared numbers and choices."""

from worker.request.open_form.hollows import HOLLOWS
from worker.request.open_form.strands import STRANDS

__all__ = ["HOLLOWS", "STRANDS"]
