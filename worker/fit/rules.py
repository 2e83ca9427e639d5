"""The rules that turn a maker's terms into a fit, one after another; their numbers are in `rules_table.py`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from worker.fit.axes import free_parameters
from worker.fit.rules_table import (
    CLEAR_OF_GAPE,
    COVER,
    DOWN_IN_S,
    FASTEST,
    FISH,
    HOOK_OVER_TRUNK,
    LENGTH_OVER_SHANK,
    MOST_OF_HOOK,
    OTHER_STYLES,
    SALINITY,
    SLOWEST,
    STYLE,
    USUAL_HEAD,
    WEIGHTED,
    WEIGHTS,
)
from worker.request.merging import merged
from worker.styles import STYLES
from worker.styles.house import style_of
from worker.values.parameter import six_digits

JUDGEMENT = "judgement"


@dataclass(frozen=True)
class Line:
    """One rule as it was used: its name, what it says, and the part of a fit's request that it gives."""

    rule: str
    text: str
    gives: Mapping[str, Any]


def document_of(maker: Mapping[str, Any], style: str | None) -> dict[str, Any]:
    """The fit's request that the rules make of maker's terms in normal form, for `style` or for the one they choose."""
    document: dict[str, Any] = {}
    for line in _lines(maker, style or FISH[maker["fish"]].style):
        document = merged(document, line.gives)
    return document


def told_rules(normal: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The rules that a fit in normal form was made by; what the request says itself went before what they give."""
    if "maker" not in normal:
        return []
    return [
        {"rule": line.rule, "basis": JUDGEMENT, "text": line.text, "gives": dict(line.gives)}
        for line in _lines(normal["maker"], style_of(normal).built_in)
    ]


def _lines(maker: Mapping[str, Any], style: str) -> Iterator[Line]:
    fish, cover = FISH[maker["fish"]], COVER[maker["cover"]]
    named = maker["fish"].replace("_", " ")
    words = f"For {named}: {STYLES[fish.style].title.lower()}."
    if style != fish.style:
        words = f"Asked for: {STYLES[style].title.lower()}. {words}"
    yield Line("style", words, {"style": style})
    yield Line("plastic", f"For {named}: {fish.grade} plastic.", {"plastic": {"grade": fish.grade}})
    hook = {"gape": fish.gape, "shank": fish.shank, "wire": fish.wire, **maker.get("hook", {})}
    kind = maker.get("rig") or cover.rig or fish.rig
    words = f"{kind.replace('_', ' ')} rig, a hook of {hook['gape']:g} mm gape, {hook['shank']:g} mm shank"
    yield Line("rig", f"{words}, {hook['wire']:g} mm wire.", {"rig": {"kind": kind, "hook": dict(hook)}})
    yield from _length(fish.length, hook["shank"], style, named)
    pull = six_digits(fish.pull * cover.times)
    words = f"A trunk for {named} holds {fish.pull:g} N; times {cover.times:g} for {maker['cover']}: {pull:g} N."
    yield Line("pull", f"{words} {cover.why}", {"require": {"joint_pull_n": pull}})
    clear = six_digits(CLEAR_OF_GAPE * hook["gape"])
    words = f"{100 * CLEAR_OF_GAPE:g} % of the gape has to stay clear of plastic: {clear:g} mm."
    yield Line("gape", words, {"checks": {"hook_clearance": {"limit": clear}}})
    hold = six_digits(min(HOOK_OVER_TRUNK * pull, MOST_OF_HOOK))
    words = f"The hook holds {HOOK_OVER_TRUNK:g} of what the trunk does, at most {MOST_OF_HOOK:g} N: {hold:g} N."
    yield Line("hook", words, {"checks": {"hook_tear_out": {"limit": hold}}})
    yield from _depth(maker, kind, fish.head, named)
    looked = STYLE.get(style, OTHER_STYLES)
    free = {name: {**told, **_at_the_bench(style, name)} for name, told in looked.free.items()}
    words = f"Of a {STYLES[style].title.lower()} {', '.join(free).replace('_', ' ')} may change."
    yield Line("search", words, {"free": free, "params": dict(looked.params), "goal": dict(looked.goal)})


def _at_the_bench(style: str, name: str) -> dict[str, float]:
    """The finest change that makes sense at the bench, as the steps of a free number; a whole one has its own."""
    parameter = free_parameters(STYLES[style])[name]
    return {"step": parameter.step} if parameter.kind in ("length", "number") else {}


def _length(usual: float, shank: float, style: str, named: str) -> Iterator[Line]:
    """The bait's length; not of a style whose own length is what may change."""
    parameter = STYLES[style].parameter("length")
    if "length" in STYLE.get(style, OTHER_STYLES).free:
        return
    least = LENGTH_OVER_SHANK * shank
    length = float(round(min(max(usual, least, parameter.minimum), parameter.maximum)))
    words = f"For {named} {usual:g} mm long, and at least {LENGTH_OVER_SHANK:g} times the shank: {length:g} mm."
    yield Line("length", words, {"params": {"length": length}})


def _weight(kind: str, depth: float, head: float) -> float:
    """g at the nose: by the depth, mm, and the fish; a jig head is never without its head."""
    deep_enough = next((grams for deep, grams in WEIGHTS if depth <= deep), WEIGHTS[-1][1])
    mass = six_digits(deep_enough * min(1.0, head / USUAL_HEAD))
    return max(mass, head) if kind == "jig_head" else mass


def _depth(maker: Mapping[str, Any], kind: str, head: float, named: str) -> Iterator[Line]:
    """The weight at the nose, and how fast the bait has to be down; without a weight it is asked for little."""
    depth, salinity = float(maker["depth"]), SALINITY[maker["water"]]
    mass = _weight(kind, depth, head) if kind in WEIGHTED else 0.0
    if kind in WEIGHTED:
        what = "in the head" if kind == "jig_head" else "at the nose"
        words = f"For {named} at {depth / 1000:.3g} m {mass:g} g of lead {what}."
        words = words if mass else "So shallow it needs no weight."
        weights = [{"mass_g": mass, "material": "lead"}] if mass else []
        yield Line("weight", words, {"rig": {"weights": weights}})
    water = "salt_water" if salinity else "fresh_water"
    speed = six_digits(min(max(depth / DOWN_IN_S, SLOWEST), FASTEST if mass else SLOWEST))
    # Where no faster or no slower sinking is asked for, it is down later or sooner than that.
    words = f"Down at {depth / 1000:.3g} m within {depth / speed:.0f} s: it sinks at {speed:.3g} mm/s at least"
    words = f"{words}, in {maker['water']} water."
    if not mass and depth / speed > DOWN_IN_S:
        words = f"{words} Without a weight no more is asked: to be down sooner hang one on, or fish it shallower."
    gives: dict[str, Any] = {"require": {f"{water}_rigged_sink_rate_mm_s": {"at_least": speed}}}
    if salinity:
        gives["water"] = {"salinity": salinity}
    yield Line("depth", words, gives)
