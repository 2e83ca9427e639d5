"""What the parameters of a lizard cannot be together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.strand import Strand
from worker.styles.dress_feasible import dress_faults, worn_faults
from worker.styles.limb_faults import Trouble, limb_faults, thins_out
from worker.styles.lizard_body import LizardBody, legs_at
from worker.styles.lizard_legs import CURL, CURLED, FOOT_FROM, KNEE_AT, KNEE_RADIUS
from worker.styles.mending import Mender, Turn
from worker.styles.style import Params
from worker.styles.tail_feasible import rooted_faults, tail_faults
from worker.styles.tails import trunk_length
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter

ROOM = 0.02
"""Least way from the neck to the shoulders, and from the hips to the trunk's end, over the length (judgement)."""
BETWEEN_LEGS = 1.0
"""Least way from the front legs to the hind ones over the body's width (judgement)."""
WIDEST_ROOT = 0.8
"""Greatest thickness of a leg at its root over the body's height where it leaves (judgement)."""
LEAST_NECK = 0.7
"""Least width and height of the head over the neck's: below, there is no head (judgement)."""
TIGHTEST = 1.08
"""Least radius of a foot's curl over half of the ribbon's width: a hair more than turning.ROOM."""


def infeasible(
    params: Params, strands: Callable[[Params], tuple[Strand, ...]], parameters: Mapping[str, Parameter]
) -> Iterator[Fault]:
    """Every fault that can be told from the numbers; where there is none, those of the strands themselves."""
    found = [*dress_faults(params), *tail_faults(params)] or [*_body(params), *_legs(params)]
    yield from found
    if found:
        return
    try:
        trunk, *others = strands(params)
    except RootOutside as error:
        detail = f"{str(error).capitalize()}; give it a fuller body."
        yield Fault("/params/body_width", "root-outside", detail, None)
        return
    yield from worn_faults(trunk, params)
    yield from rooted_faults(params, trunk, tuple(others))
    mender = Mender(params, parameters, strands)
    yield from limb_faults(
        trunk,
        others,
        number(params, "length"),
        lambda trouble: mender.told(trouble, _turns(params, trouble)),
        together=("tail",),
    )


def _body(params: Params) -> Iterator[Fault]:
    body, length = LizardBody(params, trunk_length(params)), number(params, "length")
    front, hind = legs_at(params, "front_legs"), legs_at(params, "hind_legs")
    sizes = (("width", 1.0), ("height", body.head_height / body.head_width))
    # Of its two sizes the one that asks for the wider head is told: that head shows in both.
    wide, neck, name = max((LEAST_NECK * _neck(params, name) / of, _neck(params, name), name) for name, of in sizes)
    if body.head_width < wide - 1e-9:
        least = math.ceil(10 * wide - 1e-6) / 10
        detail = f"A neck {neck:.3g} mm in {name} hides the head; {least:g} mm over the jaws would show."
        yield Fault("/params/head_width", "head-too-small", detail, {"minimum": least, "unit": "mm"})
        return
    if front < body.neck_at + ROOM * length:
        least = math.ceil(200 * (body.neck_at / length + ROOM)) / 2
        detail = f"The head and neck take {body.neck_at:.3g} mm; the front legs stand behind them, from {least:g} % on."
        allowed = {"minimum": least, "maximum": 45.0, "unit": "%"} if least <= 45 else None
        yield Fault("/params/front_legs", "legs-in-the-neck", detail, allowed)
    apart = max(BETWEEN_LEGS * number(params, "body_width"), 1.5 * number(params, "leg_root"))
    if hind < front + apart:
        least = math.ceil(200 * (front + apart) / length) / 2
        detail = f"The hind legs stand at least {apart:.3g} mm behind the front ones, from {least:g} % on."
        allowed = {"minimum": least, "maximum": 75.0, "unit": "%"} if least <= 75 else None
        yield Fault("/params/hind_legs", "legs-too-close", detail, allowed)
    end = body.trunk_length - max(body.ends[1], ROOM * length) - number(params, "leg_root") / 2
    if hind > end:
        most = math.floor(200 * end / length) / 2
        detail = (
            f"The body ends {body.trunk_length:.4g} mm from the nose, where the tail begins; hind legs stand up to "
        )
        detail += f"{most:g} %." if most >= 25 else "its hips: take a shorter tail."
        allowed = {"minimum": 25.0, "maximum": most, "unit": "%"} if most >= 25 else None
        yield Fault("/params/hind_legs", "legs-on-the-tail", detail, allowed)


def _neck(params: Params, name: str) -> float:
    """Width or height of the neck, mm."""
    return number(params, "neck") * number(params, f"body_{name}")


def _legs(params: Params) -> Iterator[Fault]:
    yield from thins_out(params, ("leg_tip", "leg_root", "A leg"))
    root, length = number(params, "leg_root"), number(params, "leg_length")
    room = WIDEST_ROOT * min(number(params, "body_height"), number(params, "body_width"))
    if root > room + 1e-9:
        most = math.floor(10 * room) / 10
        detail = f"Legs {root:g} mm thick are too thick to grow out of that body; at most {most:g} mm are not."
        yield Fault("/params/leg_root", "root-too-thick", detail, {"maximum": most, "unit": "mm"})
    bend = KNEE_RADIUS * root * math.radians(number(params, "knee"))
    # Thigh and shin are straight for a while, and a foot begins behind the knee.
    least = max((bend / 2 + 0.5 * root) / KNEE_AT, (bend / 2) / (FOOT_FROM - KNEE_AT))
    least = least if params["foot"] != "plain" else (bend / 2 + 0.5 * root) / KNEE_AT
    if length < least:
        would = math.ceil(2 * least) / 2
        detail = f"A leg of {length:g} mm is too short for its knee; {would:g} mm would do."
        allowed = {"minimum": would, "unit": "mm"} if would <= 60 else None
        yield Fault("/params/leg_length", "legs-too-short", detail, allowed)
    if params["foot"] == "plain":
        return
    foot, broad = (1 - FOOT_FROM) * length, number(params, "foot_width")
    most = 0.9 * foot
    if params["foot"] == "curl":
        most = 2 * foot / math.radians(CURL) / TIGHTEST / max(wide for _, wide in CURLED)
    if broad > most + 1e-9:
        would = math.floor(10 * most) / 10
        detail = f"A foot {broad:g} mm wide is too wide for its {foot:.3g} mm of length; at most {would:g} mm is not."
        allowed = {"maximum": would, "unit": "mm"} if would >= 3 else None
        yield Fault("/params/foot_width", "foot-too-wide", detail, allowed)


def _turns(params: Params, trouble: Trouble) -> tuple[Turn, ...]:
    """What mends a leg that is in trouble; of a tail that curls into the legs, its own."""
    if trouble.limb.kind == "tail":
        return ("tail_length", False), ("tail_width", False), ("tail_curl", False), ("leg_length", False)
    footed = params["foot"] != "plain"
    match trouble.code:
        case "root-too-thick":
            return ("leg_root", False), ("knee", False)
        case "turns-too-tight" | "runs-into-itself":
            width: tuple[Turn, ...] = (("foot_width", False),) if footed else ()
            return *width, ("leg_root", False), ("leg_length", True), ("knee", False)
        case "runs-into-body" | "limbs-meet":
            return ("knee", False), ("leg_sweep", False), ("leg_length", False)
        case "ahead-of-nose":
            return ("leg_sweep", True), ("knee", False), ("leg_length", False)
        case _:
            return ("leg_length", False), ("knee", False), ("leg_root", False)
