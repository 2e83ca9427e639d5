"""How a bait that was tried is told in an answer: figures, requirements met and missed, in numbers and words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from worker.fit.figures import FIGURES
from worker.fit.goals import NEAREST
from worker.fit.require import CheckAsked, FigureAsked, LobesAsked, Requirement
from worker.fit.trials import Trial, Trials
from worker.values.parameter import six_digits
from worker.values.questions import CHECKS

BINDS = 0.003
"""A requirement binds where the bait meets it by no more than this share of it (judgement)."""


def told_requirements(
    best: Trial, requirements: Sequence[Requirement], around: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """Every requirement that the best bait is asked. It binds, too, where a neighbour better for the goal breaks it."""
    broken = {name for each in around if each.get("better") for name in each["breaks"]}
    asked = [each for each in requirements if best.value(each) is not None or best.missed(each) > 0]
    told = [told_requirement(best, each) for each in asked]
    return [{**each, "binds": each["binds"] or (each["met"] and each["requirement"] in broken)} for each in told]


def told_requirement(trial: Trial, requirement: Requirement) -> dict[str, Any]:
    """What is asked, what there is, whether it is met, by how much (`spare`, a share of what is asked), and words."""
    margins = [margin.value for margin in trial.margins(requirement)]
    spare, value = six_digits(min(margins)), trial.value(requirement)
    met, equal = spare >= 0, "equal" in requirement.describe()
    return {
        **requirement.describe(),
        "value": value,
        "met": met,
        "spare": spare if value is not None and not (met and equal) else None,
        "binds": met and value is not None and (equal or spare <= BINDS) and not _only_counts(requirement),
        "text": in_words(trial, requirement),
    }


def _only_counts(requirement: Requirement) -> bool:
    """Whether it is of the kind that is met in full or not at all: one piece is not nearly two."""
    return isinstance(requirement, CheckAsked) and requirement.check == "single_piece"


def in_words(trial: Trial, requirement: Requirement) -> str:
    """A sentence: what there is of what is asked."""
    value, met = trial.value(requirement), trial.missed(requirement) == 0
    if isinstance(requirement, CheckAsked):
        return _check_in_words(trial, requirement, met)
    if isinstance(requirement, LobesAsked):
        told, asked = f"lobes that touch by {value:.4g} mm", f"at least {requirement.told['at_least']:g} mm"
    elif isinstance(requirement, FigureAsked):
        figure = FIGURES[requirement.name]
        told, asked = figure.say(value), asked_in_words(requirement)
    else:
        raise TypeError(requirement.name)
    return f"{told[0].upper()}{told[1:]}; {asked} is asked: {'met' if met else 'missed'}{_by(trial, requirement)}."


def asked_in_words(requirement: FigureAsked) -> str:
    """What is asked of a figure: "at most 9 g"."""
    unit = FIGURES[requirement.name].unit
    if isinstance(requirement.told.get("equal"), str):
        return str(requirement.told["equal"])
    tail = f" {unit}" if unit else ""
    bounds = {"at_least": "at least", "at_most": "at most", "equal": "equal to"}
    told = [(words, requirement.told[name]) for name, words in bounds.items() if name in requirement.told]
    return " and ".join(f"{words} {at:g}{tail}" for words, at in told)


def _by(trial: Trial, requirement: Requirement) -> str:
    value = trial.value(requirement)
    if trial.missed(requirement) == 0 or not isinstance(value, (int, float)):
        return ""
    told = requirement.describe()
    gaps = [
        gap
        for gap in (
            told["at_least"] - value if "at_least" in told else 0.0,
            value - told["at_most"] if "at_most" in told else 0.0,
            abs(value - told["equal"]) if "equal" in told else 0.0,
        )
        if gap > 0
    ]
    unit = f" {told['unit']}" if told["unit"] else ""
    return f" by {max(gaps):.3g}{unit}" if gaps else ""


def _check_in_words(trial: Trial, requirement: CheckAsked, met: bool) -> str:
    answer = requirement.answer(trial.look(trial.values))
    question = CHECKS[requirement.check].question
    if answer is None:
        return f"{question} The bait is in pieces."
    return f"{question} {answer.text}"


def figures_of(trial: Trial, names: Sequence[str]) -> dict[str, Any]:
    """The figures of a bait that a fit is about."""
    return {name: trial.figure(name) for name in names}


def asked_figures(trials: Trials) -> tuple[str, ...]:
    """Names of the figures that a fit is about: its goal's, its requirements', its front's, its weakest joint's."""
    normal = trials.request.normal
    named = [name for way, name in normal["goal"].items() if way != NEAREST]
    named += [name for name in FIGURES if name in normal["require"]]
    named += [normal["front"][axis] for axis in ("pull", "flexibility") if "front" in normal]
    named += ["pull_over_limit", "flexibility_ratio"]
    return tuple(dict.fromkeys(named))


def params_in_words(trials: Trials, trial: Trial) -> str:
    """The free values of a bait: "Bead count 14, Joint blend 0.8 mm"."""
    parts = []
    for axis, value in zip(trials.axes, trial.values, strict=True):
        unit = f" {axis.parameter.unit}" if axis.parameter.unit else ""
        parts.append(f"{axis.parameter.title.lower()} {value if isinstance(value, str) else f'{value:g}'}{unit}")
    return ", ".join(parts)
