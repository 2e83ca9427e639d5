"""What the parameters of a shrimp cannot be together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from worker.errors import Fault
from worker.strands.attach import RootOutside
from worker.strands.closing import HumpsHidden
from worker.strands.strand import Strand
from worker.strands.turning import too_tight
from worker.styles.clearance import LEAST_GAP
from worker.styles.dress_feasible import dress_faults, worn_faults
from worker.styles.limb_faults import limb_faults, thins_out
from worker.styles.mending import Mender
from worker.styles.shrimp_body import ShrimpBody
from worker.styles.shrimp_layout import NoAbdomen
from worker.styles.shrimp_limbs import (
    FIRST_LEG,
    HORN_WIDTH,
    LAST_LEG,
    LEAST_EYE,
    LEAST_HORN,
    LOBE_ROOT,
    STALK,
)
from worker.styles.shrimp_trouble import turns_for
from worker.styles.style import Params
from worker.styles.worm_parameters import number
from worker.values.parameter import Parameter

DEEPEST_PLATE = 0.25
"""Greatest depth of a plate's edge over the abdomen's height or width at the fan."""
SHALLOWEST = 0.2
"""Greatest depth of a plate's edge over the plate's length: deeper, it is no slope but a step (judgement)."""
WIDEST_ROOT = 0.9
"""Greatest size of a fan lobe at its root over the abdomen's end that it grows out of (judgement)."""
WIDEST_LIMB = 0.45
"""Greatest thickness of other limbs at their root over the carapace's width (judgement)."""
SWIMMERET_ROOM = 0.85
"""Distance of two swimmerets' roots over a plate, the belly being the inside of the arch (judgement)."""
STRAIGHTEST = 5.0
"""Steps of the arch in which one that would do is looked for, degrees."""


def infeasible(
    params: Params, strands: Callable[[Params], tuple[Strand, ...]], parameters: Mapping[str, Parameter]
) -> Iterator[Fault]:
    """Every fault that can be told from the numbers; where there is none, those of the strands themselves."""
    found = list(dress_faults(params)) or [*_abdomen(params), *_limbs(params)]
    yield from found
    if found:
        return
    try:
        trunk, *others = strands(params)
        trunk.body  # noqa: B018  worked out here, so that plates that hide each other are told
    except NoAbdomen as error:
        yield from _no_abdomen(params, error)
        return
    except RootOutside as error:
        yield Fault(
            "/params/carapace_width", "root-outside", f"{str(error).capitalize()}; give it a fuller body.", None
        )
        return
    except HumpsHidden:
        detail = "The abdomen thins out so fast that one plate hides the next; take deeper edges or less taper."
        yield Fault("/params/plate_depth", "plates-hidden", detail, None)
        return
    tight = list(_arch(params, trunk)) or list(worn_faults(trunk, params))
    yield from tight
    if not tight:
        length = number(params, "length")
        mender = Mender(params, parameters, strands)
        yield from limb_faults(
            trunk, others, length, lambda trouble: mender.told(trouble, turns_for(trouble)), together=("fan",)
        )


def _abdomen(params: Params) -> Iterator[Fault]:
    depth, end = number(params, "plate_depth"), number(params, "taper")
    height, width = number(params, "carapace_height"), number(params, "carapace_width")
    deepest = math.floor(100 * DEEPEST_PLATE * end * min(height, width)) / 100
    if depth > deepest + 1e-9:
        detail = f"Edges {depth:g} mm deep cut more than a quarter into the abdomen's end; {deepest:g} mm does not."
        allowed = {"maximum": deepest, "unit": "mm"} if deepest >= 0.3 else None
        yield Fault("/params/plate_depth", "plates-too-deep", detail, allowed)
    broad, thick = number(params, "fan_width"), number(params, "fan_thickness")
    for name, size, room in (
        ("fan_width", LOBE_ROOT * broad, WIDEST_ROOT * end * width),
        ("fan_thickness", thick, WIDEST_ROOT * end * height),
    ):
        if size > room + 1e-9:
            most = math.floor(10 * number(params, name) * room / size) / 10
            detail = f"A fan lobe is {size:.3g} mm at its root, too much for the abdomen's end; {most:g} mm would do."
            yield Fault(f"/params/{name}", "root-too-thick", detail, {"maximum": most, "unit": "mm"})
    if int(params["swimmerets"]) > int(params["segments"]):
        most = int(params["segments"])
        detail = f"One pair of swimmerets stands below a segment, and there are {most} segments."
        allowed = {"minimum": 0, "maximum": most, "whole": True}
        yield Fault("/params/swimmerets", "too-few-segments", detail, allowed)


def _limbs(params: Params) -> Iterator[Fault]:
    yield from thins_out(params, ("leg_tip", "leg_root", "A leg"), ("feeler_tip", "feeler_root", "A feeler"))
    room = WIDEST_LIMB * min(number(params, "carapace_width"), number(params, "carapace_height"))
    # Of an eye it is the stalk that grows out of the carapace; a horn stands on edge, half as wide as it is high.
    sizes = [("leg_root", int(params["leg_pairs"]) + int(params["swimmerets"]) > 0, 1.0)]
    sizes += [("feeler_root", int(params["feelers"]) > 0, 1.0)]
    sizes += [("eye_stalks", number(params, "eye_stalks") >= LEAST_EYE, STALK)]
    sizes += [("horn_root", number(params, "horn") >= LEAST_HORN, HORN_WIDTH)]
    for name, there, share in sizes:
        if there and share * number(params, name) > room + 1e-9:
            most = math.floor(10 * room / share) / 10
            detail = (
                f"{number(params, name):g} mm is too thick to grow out of that carapace; at most {most:g} mm is not."
            )
            yield Fault(f"/params/{name}", "root-too-thick", detail, {"maximum": most, "unit": "mm"})
    pairs, needed = int(params["leg_pairs"]), number(params, "leg_root") + LEAST_GAP
    fit = math.floor((LAST_LEG - FIRST_LEG) * ShrimpBody(params, 1.0).carapace / needed + 1e-9) + 1
    if pairs > fit:
        detail = f"{pairs} pairs of legs {number(params, 'leg_root'):g} mm thick run into each other; {fit} do not."
        yield Fault("/params/leg_pairs", "legs-too-close", detail, {"minimum": 0, "maximum": fit, "whole": True})


def _no_abdomen(params: Params, error: NoAbdomen) -> Iterator[Fault]:
    """Shorter carapace: it gives the abdomen what it loses."""
    share, length = number(params, "carapace"), number(params, "length")
    most = math.floor(share - 100 * (error.needed - error.left) / length)
    left = max(error.left, 0.0)
    detail = f"Horn, carapace and fan leave {left:.3g} mm of {length:g} mm for an abdomen of {error.needed:.3g} mm."
    if most >= 25:
        detail += f" A carapace of {most} % leaves enough."
    allowed = {"minimum": 25.0, "maximum": float(most), "unit": "%"} if most >= 25 else None
    yield Fault("/params/carapace" if allowed else "/params/fan_length", "no-abdomen", detail, allowed)


def _arch(params: Params, trunk: Strand) -> Iterator[Fault]:
    """A radius that would do, and the arch that gives about that: it goes with one over the radius."""
    turn = too_tight(trunk)
    if turn is not None:
        arch = number(params, "arch")
        most = max(math.floor(arch * turn.radius / turn.needed - STRAIGHTEST), 0)
        detail = (
            f"The abdomen arches on a radius of {turn.radius:.3g} mm and is too thick for it; {turn.needed:.3g} mm, "
            f"an arch of about {most} degrees, would do."
        )
        yield Fault("/params/arch", "turns-too-tight", detail, {"minimum": 0.0, "maximum": float(most), "unit": "deg"})
    plate = (trunk.path.length - _carapace(params)) / int(params["segments"])
    deepest = math.floor(100 * SHALLOWEST * plate) / 100
    if number(params, "plate_depth") > deepest + 1e-9:
        detail = f"On plates {plate:.3g} mm long edges stand at most {deepest:g} mm over the next."
        allowed = {"maximum": deepest, "unit": "mm"} if deepest >= 0.3 else None
        yield Fault("/params/plate_depth", "plates-too-short", detail, allowed)
    root = number(params, "leg_root")
    if int(params["swimmerets"]) > 1 and root + LEAST_GAP > SWIMMERET_ROOM * plate:
        thickest = math.floor(10 * (SWIMMERET_ROOM * plate - LEAST_GAP)) / 10
        detail = f"Swimmerets {root:g} mm thick run into each other on plates of {plate:.3g} mm."
        allowed = {"maximum": thickest, "unit": "mm"} if thickest >= 1 else None
        yield Fault("/params/leg_root", "limbs-too-close", detail, allowed)


def _carapace(params: Params) -> float:
    return ShrimpBody(params, 1.0).carapace
