"""The creature: a ribbed body with whatever limbs its groups ask for, on both sides."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from worker.errors import Fault
from worker.strands.strand import Strand
from worker.styles.creature_feasible import infeasible
from worker.styles.creature_groups import KINDS
from worker.styles.creature_layout import Layout, laid_out
from worker.styles.creature_parameters import BODY, GROUPS
from worker.styles.dress import dressed, hollows_of, with_dress
from worker.styles.dress_parameters import BORES, EYES, HEADS, SLOT
from worker.styles.limbs import grown
from worker.styles.style import Params, Remedy, Style
from worker.styles.tail_parameters import TAIL, TAIL_LENGTH
from worker.styles.tails import TAIL_REMEDIES, tail_strands, trunk_length
from worker.styles.worm_parameters import number
from worker.values.parameter import Value

# A curl has to come round within the room that the limbs leave it.
_TAIL = tuple(replace(each, default=30.0) if each is TAIL_LENGTH else each for each in TAIL)

Items = tuple[tuple[str, Value], ...]
Key = tuple[Items, tuple[Items, ...]]


def _key(params: Params) -> Key:
    rows = tuple(tuple(row.items()) for row in params["groups"])
    return tuple((name, value) for name, value in params.items() if name != "groups"), rows


def _params(key: Key) -> Params:
    items, rows = key
    return {**dict(items), "groups": [dict(row) for row in rows]}


def _layout(params: Params) -> Layout:
    return _laid_out(_key(params))


@lru_cache(maxsize=8)  # asked before a bait is taken, and to make it
def _laid_out(key: Key) -> Layout:
    params = _params(key)
    return laid_out(params, trunk_length(params))


def _strands(params: Params) -> tuple[Strand, ...]:
    return _made(_key(params))


@lru_cache(maxsize=8)
def _made(key: Key) -> tuple[Strand, ...]:
    params, layout = _params(key), _laid_out(key)
    trunk = dressed(layout.body.trunk, params)
    limbs = grown(layout.limbs(), trunk, number(params, "root_blend"))
    return (trunk, *limbs, *tail_strands(trunk, params))


def _hollows(params: Params) -> tuple[Strand, ...]:
    return hollows_of(_strands(params)[0], params)


def _infeasible(params: Params) -> Iterator[Fault]:
    yield from infeasible(params, _layout, _strands)


def _of_groups(kind: str, *members_and_words: tuple[str, str]) -> tuple[Remedy, ...]:
    return tuple(
        Remedy("groups", True, f"{words} {{value}} mm", member, (("kind", kind),))
        for member, words in members_and_words
    )


_MANY = {
    "leg": "legs",
    "flapper": "flappers",
    "wing": "wings",
    "curl": "curls",
    "feeler": "feelers",
    "paddle": "paddles",
}
_BODY = (
    Remedy("rib_depth", up=False, text="ribs {value} mm deep"),
    Remedy("body_width", up=True, text="a body width of {value} mm"),
    Remedy("body_height", up=True, text="a body height of {value} mm"),
    Remedy("body_taper", up=True, text="a taper of {value}"),
)
_BLEND = Remedy("root_blend", up=True, text="a root blend of {value} mm")
_REMEDIES: dict[str, tuple[Remedy, ...]] = {"joint_pull": _BODY, "thin_feature": _BODY, **TAIL_REMEDIES}
for _kind, _strand_kind in KINDS.items():
    _many = _MANY[_kind]
    _REMEDIES[f"joint_pull of {_strand_kind}"] = (*_of_groups(_kind, ("root", f"{_many} rooted at")), _BLEND)
    _REMEDIES[f"thin_feature of {_strand_kind}"] = (
        Remedy("groups", True, f"{_many} of {{value}} mm at the tip", "tip", (("kind", _kind),), ("root",)),
        *_of_groups(_kind, ("width", f"{_many} as wide as")),
    )

CREATURE = Style(
    name="creature",
    title="Creature",
    summary="A ribbed body with groups of legs, flappers, wings, curls, feelers and paddles on both sides.",
    sentence=(
        "A {length} {style}, its body {body_width} wide and {body_height} high, with ribs {rib_depth} deep "
        "every {rib_pitch}"
    ),
    parameters=(*BODY, GROUPS, *_TAIL, *HEADS, *SLOT, *BORES, *EYES),
    strands=_strands,
    infeasible=_infeasible,
    hollows=_hollows,
    example={
        "style": "creature",
        "label": "Brush creature",
        "params": {
            "length": "4-1/8 in",
            "groups": [
                {"kind": "paddle", "from": 0.26, "length": 24, "root": 3.0, "width": 9, "sweep": 35},
                {
                    "kind": "leg",
                    "pairs": 4,
                    "from": 0.36,
                    "every": 2,
                    "length": 11,
                    "root": 2.4,
                    "tip": 1.2,
                    "sweep": 30,
                },
                {"kind": "flapper", "from": 0.88, "length": 42, "root": 3.4, "tip": 1.4, "width": 13, "sweep": 70},
                {"kind": "feeler", "from": 0.97, "length": 24, "root": 1.8, "sweep": 80, "rise": 22},
            ],
        },
        "plastic": {"grade": "soft"},
    },
    remedies=with_dress(_REMEDIES),
)
