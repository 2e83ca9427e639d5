"""The sheet's blocks in their places, two pages at the most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from worker.checks.subject import Subject
from worker.sheet import content
from worker.sheet.paper import MARGIN, Paper
from worker.sheet.parts import BODY, SMALL, heading, rows, table
from worker.sheet.views import views
from worker.sheet.window import window
from worker.values.cautions import Caution
from worker.values.questions import CHECKS

PICTURE = (64.0, 48.0)
"""mm across and high."""
GUTTER = 7.0
VERDICT_WIDTH = 19.0


def first_page(paper: Paper, subject: Subject, numbers: Mapping[str, Any], jpeg: bytes, *, cut: bool) -> None:
    """Title, picture and facts; views with sizes; joints; checks, which are `cut` where the page ends."""
    normal, metrics = subject.request.normal, numbers["metrics"]
    sheet, whole = normal["sheet"], paper.right - MARGIN
    paper.write(MARGIN, 20, sheet["title"], paper.fitted(sheet["title"], whole, 15, "bold"), "bold")
    paper.line(MARGIN, 22.5, paper.right, 22.5, 0.6)
    top = 26.0
    paper.picture(MARGIN, top, *PICTURE, jpeg)
    paper.box(MARGIN, top, *PICTURE, edge=0.15)
    x = MARGIN + PICTURE[0] + GUTTER
    y = rows(paper, x, top + 3, paper.right - x, [*content.heads(normal), *content.facts(normal, metrics)], 0.24)
    if "note" in sheet:
        y = paper.paragraph(x, y, paper.right - x, sheet["note"], BODY, "italic")
    y = views(paper, max(y, top + PICTURE[1]) + 5, subject, metrics)
    checks(paper, MARGIN, y + 2, whole, numbers["checks"], paper.bottom if cut else 1e9)


def checks(paper: Paper, x: float, y: float, width: float, told: Sequence[Mapping[str, Any]], bottom: float) -> float:
    """One after another: verdict, sentence and, where it does not pass, the first remedies."""
    y = heading(paper, x, y, width, "Checks")
    # What falls short is told first and in full; where the page ends, what passes is told by name alone.
    order = sorted(told, key=lambda each: ("fail", "caution", "pass").index(each["verdict"]))
    for place, each in enumerate(order):
        if y > bottom - 2 * paper.step(BODY):
            names = ", ".join(CHECKS[rest["check"]].question.rstrip("?").lower() for rest in order[place:])
            return paper.paragraph(x, y, width, f"And {len(order) - place} more, in metrics.json: {names}.", SMALL)
        _verdict(paper, x, y, each["verdict"])
        sentence = each["text"] + (" (silenced)" if each["silenced"] else "")
        y = paper.paragraph(x + VERDICT_WIDTH, y, width - VERDICT_WIDTH, sentence, BODY)
        remedies = [remedy["text"] for remedy in each["remedies"][:2]]
        if remedies and each["verdict"] != "pass" and y < bottom - paper.step(BODY):
            said = f"Remedy: {'; or '.join(remedies)}."
            y = paper.paragraph(x + VERDICT_WIDTH, y, width - VERDICT_WIDTH, said, BODY, "italic")
        y += 0.5
    return y


def _verdict(paper: Paper, x: float, y: float, verdict: str) -> None:
    """Told apart by letter and frame: passes in plain letters, cautions in a frame, fails white on black."""
    if verdict != "pass":
        paper.box(x, y - 2.5, VERDICT_WIDTH - 2, 3.4, 0.0 if verdict == "fail" else 1.0)
    paper.write(x + 1, y, verdict, BODY, "bold", grey=1.0 if verdict == "fail" else 0.0)


def second_page(
    paper: Paper,
    normal: Mapping[str, Any],
    metrics: Mapping[str, Any],
    mould: Iterable[tuple[str, str]],
    cautions: Iterable[Caution],
) -> None:
    """Temperatures, colours, shot, mould, what comes after, cautions."""
    column = (paper.right - MARGIN - GUTTER) / 2
    right = MARGIN + column + GUTTER
    title = normal["sheet"]["title"]
    paper.write(MARGIN, 17, title, paper.fitted(title, column, 9, "bold"), "bold")
    label = "Batch number"
    paper.write(right, 17, label, BODY, grey=0.25)
    batch = normal["sheet"].get("batch")
    begin = right + paper.across(label, BODY) + 3
    if batch is None:
        paper.line(begin, 17.6, paper.right, 17.6, 0.15)
    else:
        paper.write(begin, 17, batch, paper.fitted(batch, paper.right - begin, BODY))
    paper.line(MARGIN, 19.5, paper.right, 19.5, 0.6)
    left_y = heading(paper, MARGIN, 26, column, "Temperature")
    left_y = window(paper, MARGIN, left_y - paper.step(BODY), column, normal["shot"], normal["sheet"])
    left_y = heading(paper, MARGIN, left_y + 4, column, "Colours")
    widths = [0.15 * column, 0.4 * column, 0.27 * column, 0.18 * column]
    left_y = table(paper, MARGIN, left_y, widths, content.colours(normal, metrics))
    left_y = table(paper, MARGIN, left_y + 1.5, [0.7 * column, 0.3 * column], content.recipe(normal))
    left_y = heading(paper, MARGIN, left_y + 4, column, "After the mould")
    left_y = rows(paper, MARGIN, left_y, column, content.after_rows(normal, metrics), 0.2)
    right_y = heading(paper, right, 26, column, "Shot")
    right_y = rows(paper, right, right_y, column, content.shot_rows(normal, metrics), 0.27)
    right_y = heading(paper, right, right_y + 3, column, "Cycle")
    right_y = rows(paper, right, right_y, column, content.cycle_rows(normal, metrics), 0.2)
    right_y = heading(paper, right, right_y + 3, column, "Mould")
    right_y = rows(paper, right, right_y, column, mould, 0.2)
    _cautions(paper, max(left_y, right_y) + 4, cautions)


def _cautions(paper: Paper, y: float, cautions: Iterable[Caution]) -> None:
    """In a frame across the whole page."""
    whole, top = paper.right - MARGIN, y - 4
    paper.write(MARGIN + 3, y + 1, "Cautions", 9.5, "bold")
    y += 6
    for each in cautions:
        paper.write(MARGIN + 3, y, each.topic, BODY, "bold")
        y = paper.paragraph(MARGIN + 29, y, whole - 33, each.text, BODY) + 0.5
    paper.box(MARGIN, top, whole, y - top - 1, edge=0.6)
