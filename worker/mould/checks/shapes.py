"""What of a bait's shape may be changed so that it comes out of a mould: straightened first, left out if it must be."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from worker.mould.checks.patches import Patch
from worker.open_form.bait import OpenBait
from worker.request import Request
from worker.styles.bait import StyledBait
from worker.values.rows import Rows

ANY = ""
"""Stands for every kind of strand or hollow."""

_STRAIGHTER: tuple[tuple[str, str, Any, str], ...] = (
    (ANY, "arch", 0.0, "a straight back"),
    (ANY, "wave", 0.0, "no wave"),
    ("claw", "claw_rise", 0.0, "claws that do not rise"),
    ("leg", "knee", 0.0, "straight legs"),
    ("leg", "foot", "plain", "plain feet"),
    ("paddle", "paddle_angle", 90.0, "a paddle square to the tail"),
    ("tail", "tail_lie", "flat", "a tail that lies flat"),
    ("slot", "hook_slot", "none", "no hook slot"),
    ("socket", "eye", 0.0, "no seats for eyes"),
    ("bore", "jig_bore", 0.0, "no jig bore"),
    ("bore", "weight_bore", 0.0, "no weight bore"),
    ("pocket", "rattle_pocket", 0.0, "no rattle pocket"),
)
"""Kind of strand or hollow, the style's parameter, its value, and the words for it."""
_LEFT_OUT: tuple[tuple[str, str, Any, str], ...] = (
    ("claw", "claws", "paddle", "claws that are paddles"),
    ("leg", "leg_pairs", 0, "no legs"),
    ("leg", "swimmerets", 0, "no swimmerets"),
    ("feeler", "feelers", 0, "no feelers"),
    ("horn", "horn", 0.0, "no horn"),
    ("eye", "eye_stalks", 0.0, "no eye stalks"),
    ("fan", "tail_fan", 0.0, "no tail fan"),
    ("fan", "fan_spread", 0.0, "a fan without spread"),
    ("fan", "fan_lobes", 1, "a fan of one lobe"),
    ("tail", "tail", "none", "no tail"),
    ("tail", "tail_count", 1, "one tail"),
    ("trunk", "sucker", 0.0, "no sucker"),
    ("trunk", "egg_band", 0.0, "no egg band"),
    ("trunk", "flat_belly", 0.0, "no flat belly"),
    ("trunk", "head", "round", "a round head"),
    ("trunk", "rib_depth", None, "the shallowest ribs"),
)
"""The same; None stands for the least value."""
TIERS = 2
"""What straightens, and what leaves out."""


def reshaped(request: Request, kinds: Collection[str], tier: int) -> Iterator[tuple[str, Patch]]:
    """Changes of strands and hollows of these kinds, in words and as merge patches, up to a tier (from 0).

    Each is a change of its own; those of one member, as the list of strands, are one.
    """
    bait = request.bait
    if isinstance(bait, StyledBait):
        yield from _of_style(bait, kinds, tier)
    elif isinstance(bait, OpenBait):
        yield from _of_strands(bait, kinds, tier)


def _of_style(bait: StyledBait, kinds: Collection[str], tier: int) -> Iterator[tuple[str, Patch]]:
    declared = {each.name: each for each in bait.style.free}
    for kind, name, asked, words in (*_STRAIGHTER, *(_LEFT_OUT if tier else ())):
        parameter = declared.get(name)
        if parameter is None or isinstance(parameter, Rows) or not (kind == ANY or kind in kinds):
            continue
        value = parameter.minimum if asked is None else asked
        if parameter.choices and value not in parameter.choices:
            continue
        if bait.params[name] != value:
            yield words, {"params": {name: value}}
    groups = declared.get("groups")
    if tier and isinstance(groups, Rows):
        rows: Sequence[Mapping[str, Any]] = bait.params["groups"]
        left = [row for row in rows if row["kind"] not in kinds]
        if len(left) < len(rows) and len(left) >= groups.fewest:
            names = " or ".join(dict.fromkeys(f"{row['kind']}s" for row in rows if row["kind"] in kinds))
            yield f"no {names}", {"params": {"groups": [dict(row) for row in left]}}


def _of_strands(bait: OpenBait, kinds: Collection[str], tier: int) -> Iterator[tuple[str, Patch]]:
    kept = [each for each in bait.taken_out if each["kind"] not in kinds]
    words = [f"no {kind}" for kind in dict.fromkeys(each["kind"] for each in bait.taken_out if each not in kept)]
    meant = {each["name"] for each in bait.told if each["kind"] in kinds}
    strands = list(bait.told)
    if tier:
        gone = {each["name"] for each in strands if "parent" in each and each["name"] in meant}
        while more := {each["name"] for each in strands if each.get("parent") in gone} - gone:
            gone |= more
        strands = [each for each in strands if each["name"] not in gone]
        kept = [each for each in kept if each.get("strand") not in gone]
        words += [f"no {name}" for name in sorted(gone)]
    levelled = [_level(each, plain=tier > 0) if each["name"] in meant else each for each in strands]
    for each, before in zip(levelled, strands, strict=True):
        if each != before:
            smooth = each["relief"] != before["relief"]
            words.append(f"{each['name']} level{' and without relief' if smooth else ''}")
    patch: Patch = {}
    if levelled != list(bait.told):
        patch["strands"] = levelled
    if kept != list(bait.taken_out):
        patch["hollows"] = kept
    if patch:
        yield ", ".join(words), patch


def _level(told: Mapping[str, Any], *, plain: bool) -> Mapping[str, Any]:
    """A told strand that neither rises nor rolls; `plain`: without its relief, too."""
    level = dict(told)
    for name in ("rise", "roll"):
        if level.get(name):
            level[name] = 0.0
    path = level["path"]
    if "points" in path:
        level["path"] = {**path, "points": [[x, y, 0.0] for x, y, _ in path["points"]]}
    if plain and level["relief"]["kind"] != "plain":
        level["relief"] = {"kind": "plain"}
    return level


def without_hollows(request: Request, kinds: Collection[str]) -> Iterator[tuple[str, Patch]]:
    """Without one after the other of the hollows of these kinds, then without all of them."""
    bait = request.bait
    if isinstance(bait, StyledBait):
        yield from _of_style(bait, kinds, 0)
        return
    if not isinstance(bait, OpenBait):
        return
    meant = [number for number, each in enumerate(bait.taken_out) if each["kind"] in kinds]
    for gone in [*([number] for number in meant), *([meant] if len(meant) > 1 else [])]:
        left = [each for number, each in enumerate(bait.taken_out) if number not in gone]
        names = ", ".join(f"the {bait.taken_out[number]['kind']} that is hollow {number + 1}" for number in gone)
        yield f"without {names}", {"hollows": left}
