"""What a fit answers with."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, number, object_of, ref, text, whole

_FREE: Schema = {"type": "object", "description": "The values of what was free, by name."}
_FIGURES: Schema = {"type": "object", "description": "The figures that the fit is about, by name."}
_NAMES: Schema = {"type": "array", "items": {"type": "string"}}


def schemas() -> dict[str, Schema]:
    """The answer and the objects that it is made of."""
    return {
        "FitAnswer": _answer(),
        "FitBait": _bait(),
        "FitRequirement": _requirement(),
        "FitGives": _gives(),
        "FitNeighbour": _neighbour(),
        "FitFront": _front(),
        "FitPoint": _point(),
    }


def _answer() -> Schema:
    reason = {
        "pointer": text("The place in a bait's request."),
        "code": text("The fault, for programs."),
        "baits": whole("How many of the baits that were tried it rules out."),
        "text": text("One of them in words."),
    }
    spent = {"made": whole("Baits that were worked out."), "most": whole("How many they may have been.")}
    return object_of(
        {
            "outcome": text(
                "`met`: the best bait meets all; `nearest`: nothing does, and it comes nearest; `none`: within these "
                "ranges there is no bait at all, and `reasons` says why.",
                enum=["met", "nearest", "none"],
            ),
            "goal": object_of({"text": text("The goal in words.")}, description="As in the request, and in words."),
            "best": {"anyOf": [ref("FitBait"), {"type": "null"}], "description": "The best bait."},
            "requirements": list_of("FitRequirement", "Each one, with how far the best bait meets it."),
            "gives": list_of("FitGives", "Where nothing meets all: what would have to give for the rest to be met."),
            "neighbours": list_of("FitNeighbour", "What one step more or less of each free value does."),
            "front": {
                "anyOf": [ref("FitFront"), {"type": "null"}],
                "description": "The baits that no other beats on both figures; null where none was asked for.",
            },
            "reasons": {"type": "array", "items": object_of(reason), "description": "Of `none`: the commonest faults."},
            "rules": {
                "type": "array",
                "items": {"type": "object"},
                "description": "The rules that turned maker's terms into this fit, in words; judgement.",
            },
            "evaluations": object_of(spent, description="What the search worked out."),
            "cautions": {**_NAMES, "description": "Safety texts; never verdicts."},
        },
        optional=("goal", "requirements", "gives", "neighbours", "front", "reasons"),
        description="What was found.",
    )


def _ordered(*, request: bool) -> dict[str, Schema]:
    """The members of a bait that can be ordered."""
    told: dict[str, Schema] = {
        "bait": text("The id that it has once it is ordered.", pattern="^[0-9a-f]{64}$"),
        "href": text("Its address, once it has been ordered.", format="uri-reference"),
    }
    if request:
        described = "The bait's request: sent to `/v1/baits` as it stands, it is built."
        told["request"] = {"type": "object", "description": described}
    return told


def _bait() -> Schema:
    return object_of(
        {
            **_ordered(request=True),
            "free": _FREE,
            "text": text("Those values in words."),
            "missed": number("By how much it misses what is required, in all; 0: nothing."),
            "figures": _FIGURES,
            "metrics": ref("Metrics"),
            "checks": list_of("Check", "As an estimate of it answers them."),
        },
        description="The best bait, with its estimate.",
    )


def _requirement() -> Schema:
    return object_of(
        {
            "requirement": text("Its name: a figure's, `checks.` and a check's, or `lobes_touching`."),
            "unit": text("Of its figures; empty where there is none."),
            "value": {"type": ["number", "string", "null"], "description": "What the best bait has."},
            "met": {"type": "boolean", "description": "Whether that is what is required."},
            "spare": number(
                "How much is left of what is asked, as a share of it; under 0: how much is missing.", "null"
            ),
            "binds": {"type": "boolean", "description": "Whether the goal would have more without it."},
            "text": text("The same in words."),
        },
        description="One requirement; what was asked stands in it too: `at_least`, `at_most`, `equal`, `verdict`.",
    )


def _gives() -> Schema:
    return object_of(
        {
            **_ordered(request=False),
            "requirement": text("What gives."),
            "missed": number("By how much it is then missed."),
            "value": {"type": ["number", "string", "null"], "description": "What that bait has of it."},
            "unit": text("Its unit."),
            "free": _FREE,
            "text": text("The same in words."),
        },
        description="A bait that meets all but one requirement.",
    )


def _neighbour() -> Schema:
    return object_of(
        {
            "free": text("What is changed."),
            "value": {"type": ["number", "string"], "description": "What it is changed to."},
            "stands": {"type": "boolean", "description": "Whether there is such a bait."},
            "figures": _FIGURES,
            "breaks": {**_NAMES, "description": "Requirements that it misses and the best bait meets."},
            "mends": {**_NAMES, "description": "Requirements that it meets and the best bait misses."},
            "text": text("The same in words."),
        },
        optional=("figures", "breaks", "mends"),
        description="The best bait with one value changed.",
    )


def _front() -> Schema:
    figure = object_of({"figure": text("The figure's name."), "unit": text("Its unit; empty where there is none.")})
    return object_of(
        {
            "pull": {**figure, "description": "What is held."},
            "flexibility": {**figure, "description": "How easily it bends."},
            "points": list_of("FitPoint", "From the strongest bait to the one that bends most."),
        },
        description="Baits that no other beats on both; `tradeoff.svg` draws them.",
    )


def _point() -> Schema:
    return object_of(
        {
            **_ordered(request=True),
            "pull": number("What it holds."),
            "flexibility": number("How easily it bends."),
            "meets": {"type": "boolean", "description": "Whether it meets all that is required."},
            "misses": {**_NAMES, "description": "What it does not meet."},
            "free": _FREE,
            "text": text("The same in words."),
        },
        description="One bait of the front.",
    )
