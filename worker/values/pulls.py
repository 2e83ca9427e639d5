"""The pulls that joints of what grows out of a trunk are held to; each can be set in a request's `require`."""

from __future__ import annotations

from collections.abc import Mapping

from worker.values.parameter import Parameter

_OF_LIMBS: tuple[tuple[str, float, tuple[str, ...], str], ...] = (
    ("tail_pull_n", 4.0, ("tail",), "tails"),
    (
        "claw_pull_n",
        3.0,
        ("claw", "fan", "flapper", "wing", "curl", "paddle", "fin"),
        "claws, fans, flappers, wings, curls, paddles and fins",
    ),
    ("leg_pull_n", 1.2, ("leg",), "legs"),
    ("feeler_pull_n", 0.6, ("feeler", "tentacle", "horn", "eye"), "feelers, tentacles, horns and eye stalks"),
)
"""Member of `require`, the pull in N (judgement), the kinds of limb that it is asked of, and those in words."""


def _declared(name: str, pull: float, words: str) -> Parameter:
    return Parameter(
        name,
        "number",
        f"Pull asked of {words}",
        f"In place of {pull:g} N (judgement), of every joint of {words}, where they leave what they grow from too.",
        default=pull,
        minimum=0.01,
        maximum=500.0,
        step=0.1,
        unit="N",
    )


LIMB_PULLS: Mapping[str, Parameter] = {name: _declared(name, pull, words) for name, pull, _, words in _OF_LIMBS}
"""By the member of `require`."""
MEMBER_OF_KIND: Mapping[str, str] = {kind: name for name, _, kinds, _ in _OF_LIMBS for kind in kinds}
"""By the kind of limb."""
_PULL_OF_KIND: Mapping[str, float] = {kind: pull for _, pull, kinds, _ in _OF_LIMBS for kind in kinds}


def pull_of_kind(kind: str, require: Mapping[str, float]) -> float:
    """The pull, N, that the joints of a kind of limb are held to where a request in normal form has this `require`."""
    return float(require.get(MEMBER_OF_KIND[kind], _PULL_OF_KIND[kind]))
