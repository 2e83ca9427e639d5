"""Does every joint hold the pull that is asked of it?"""

from __future__ import annotations

import math
from dataclasses import replace

from worker.checks.answer import Answer, Remedy, graded
from worker.checks.search import Aim, remedies_in_turn, remedies_with_plastic
from worker.checks.steps import UNKNOWN
from worker.checks.subject import Subject
from worker.measures.strand.joints import JointGroup
from worker.request.sections import JOINT_PULL, PULLS
from worker.strands.roots import Array
from worker.values.pulls import MEMBER_OF_KIND

CAUTION_SHARE = 0.8
"""From this share of the limit up a joint is a caution and not a failure (judgement)."""
AIM = 1.1
"""Remedies aim at this times the limit (judgement)."""


def spare_pull(subject: Subject) -> float:
    """What the weakest joint holds beyond 1.1 times what is asked, N; of a bait in pieces unknown."""
    weakest = subject.weakest
    if weakest is None:
        return subject.rod_pull - AIM * subject.joint_limit if subject.pieces == 1 else UNKNOWN
    return float(subject.joints.pull[weakest]) - AIM * float(subject.joint_limits[weakest])


def _pull(subject: Subject) -> float:
    weakest = subject.weakest
    # Beads that run into a plain rod have no neck; the rod itself then bears the pull.
    return float(subject.joints.pull[weakest]) if weakest is not None else subject.rod_pull


def joint_pull(subject: Subject) -> Answer | None:
    """The weakest joint against its limit, of a bait without a neck its thinnest place; not asked of one in pieces."""
    weakest = subject.weakest
    if weakest is None:
        return _rod_pull(subject) if subject.pieces == 1 else None
    joints, limit = subject.joints, float(subject.joint_limits[weakest])
    pull = float(joints.pull[weakest])
    verdict = graded(pull, limit, CAUTION_SHARE * limit)
    group = subject.group_of(weakest)
    text = f"{_in_words(subject, weakest)} {pull:.3g} N of the {limit:g} N asked."
    mended = () if verdict == "pass" or not subject.mends else _remedies(subject, group, pull)
    where = {
        "joint": weakest + 1,
        "strand": group.strand,
        "station_mm": round(float(joints.station[weakest]), 3),
    }
    return Answer("joint_pull", verdict, pull, limit, "N", text, where, mended)


def _rod_pull(subject: Subject) -> Answer:
    """Beads that run into a plain rod: a remedy may end here, and then has to be seen to pass."""
    pull, limit = subject.rod_pull, subject.joint_limit
    text = f"There is no neck; at its thinnest the bait holds {pull:.3g} N of the {limit:g} N asked."
    verdict = graded(pull, limit, CAUTION_SHARE * limit)
    aim = Aim("joint_pull", spare_pull, _pull, "holds {} N")
    mended = (
        ()
        if verdict == "pass" or not subject.mends
        else _or_ask_less(subject, remedies_with_plastic(subject, aim), pull)
    )
    return Answer("joint_pull", verdict, pull, limit, "N", text, None, mended)


def _in_words(subject: Subject, joint: int) -> str:
    joints, group = subject.joints, subject.group_of(joint)
    across = float(joints.diameter[joint])
    if group.words:
        return group.words
    if group.strand_kind != "trunk":
        first = next(i for i in range(len(joints)) if subject.group_of(i) is group)
        place = (
            f"leaves the {_parent(subject, group.strand)}" if group.kinds[joint - first] == "root" else "is thinnest"
        )
        return f"The {group.strand} is {across:.3g} mm across where it {place}, and holds"
    # Of a trunk of several strands the first that has relief tells what its necks lie between.
    relief = max(subject.trunk_strands, key=lambda strand: len(strand.body.side.gaps.station)).relief
    return f"{relief.joint_in_words(subject.girth, across, on_core=bool(joints.on_core[joint]))} and hold"


def _parent(subject: Subject, name: str) -> str:
    """What a limb grows out of, in a maker's words."""
    root = next(strand.root for strand in subject.strands if strand.name == name)
    return "body" if root is None or root.parent in ("trunk", "body") else root.parent


def _remedies(subject: Subject, group: JointGroup, pull: float) -> tuple[Remedy, ...]:
    """Changes of the bait; where none is enough, the pulls that this bait can be asked for."""
    found = _changes(subject)
    if group.strand_kind == "trunk":
        found = _or_ask_less(subject, found, pull)
    return found or less_asked(subject)


def less_asked(subject: Subject, cut: tuple[str, float] | None = None) -> tuple[Remedy, ...]:
    """The pulls, N, that a bait can be asked for as it is made, of all that holds less than remedies aim at.

    `cut` is a kind of strand and the pull of a place on it that no joint tells of. None where next to nothing is held.
    """
    held = [(group.strand_kind, float((group.joints.pull / _shares(group)).min())) for group in _weak(subject)]
    least: dict[str, float] = {}
    for kind, pull in (*held, *(() if cut is None else (cut,))):
        least[kind] = min(pull, least.get(kind, pull))
    require: dict[str, float] = {}
    words: dict[str, list[str]] = {}
    for kind, pull in least.items():
        member, told = MEMBER_OF_KIND.get(kind, JOINT_PULL.name), math.floor(100 * pull / AIM) / 100
        if told < PULLS[member].minimum:
            return ()
        require[member] = min(told, require.get(member, told))
        words.setdefault(member, []).append("the trunk" if kind == "trunk" else f"{kind}s")
    patch = {"require": require}
    lower = subject.with_patch(patch) if require else None
    if lower is None or spare_pull(lower) < 0:
        return ()
    listed = ", ".join(f"{require[member]:g} N of {' and '.join(of)}" for member, of in words.items())
    weakest = _pull(subject) if cut is None else cut[1]
    return (Remedy(f"ask {listed}: as the bait is made it holds no more", patch, weakest),)


def _weak(subject: Subject) -> list[JointGroup]:
    """Groups with a joint that holds less than remedies aim at."""
    return [each for each in subject.joint_groups if bool((each.joints.pull < AIM * each.limits).any())]


def _shares(group: JointGroup) -> Array | float:
    """How much of what is asked of the group each of its joints has to hold."""
    return 1.0 if group.share is None else group.share


def _changes(subject: Subject) -> tuple[Remedy, ...]:
    whole = Aim("joint_pull", spare_pull, _pull, "holds {} N")
    if not subject.limbs:
        return remedies_with_plastic(subject, whole)
    return remedies_in_turn(subject, whole, _worst) or _with_plastic(subject, whole)


def _or_ask_less(subject: Subject, found: tuple[Remedy, ...], pull: float) -> tuple[Remedy, ...]:
    """What was found; where that is nothing, the pull that this bait can be asked for, with a change if need be."""
    if found:
        return found
    weakest = subject.weakest
    # Behind a rig's hook less is asked of a joint than of the trunk.
    share = 1.0 if weakest is None else float(subject.joint_limits[weakest]) / subject.joint_limit
    asked = pull / AIM / share
    if asked < JOINT_PULL.minimum:  # of beads that all but part nothing can be asked as they are
        asked = subject.joint_limit / 2
    while asked >= JOINT_PULL.minimum:
        told = math.floor(10 * asked) / 10
        less = {"require": {"joint_pull_n": told}}
        lower = subject.with_patch(less)
        if lower is None:
            return ()
        if spare_pull(lower) >= 0:
            text = f"ask it for {told:g} N: no bait of this kind holds {subject.joint_limit:g} N"
            return (Remedy(text, less, pull),)
        if changes := _changes(lower):
            first = changes[0]
            text = f"{first.text}, and ask it for {told:g} N: no one change holds {subject.joint_limit:g} N"
            return (replace(first, text=text, patch={**first.patch, **less}),)
        asked /= 2
    return ()


def _worst(subject: Subject) -> Aim:
    """The kind of strand that the weakest joint is on, mended when all joints of that kind hold."""
    weakest = subject.weakest
    kind = "trunk" if weakest is None else subject.group_of(weakest).strand_kind

    def spare(other: Subject) -> float:
        if other.pieces > 1:
            return UNKNOWN
        groups = [group for group in other.joint_groups if group.strand_kind == kind and len(group.joints)]
        return min((float((group.joints.pull - AIM * group.limits).min()) for group in groups), default=math.inf)

    return Aim("joint_pull" if kind == "trunk" else f"joint_pull of {kind}", spare, _pull, "holds {} N")


def _with_plastic(subject: Subject, whole: Aim) -> tuple[Remedy, ...]:
    """A firmer plastic alone: with limbs of several kinds there is no one change beside it."""
    return remedies_with_plastic(subject, replace(whole, check="plastic alone"))
