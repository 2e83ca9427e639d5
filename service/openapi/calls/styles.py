"""Styles and plastics: what can be asked for."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.calls.kept import definition, forget, keep, kept_as
from service.openapi.headers import CHANGE_CONDITIONS, CONDITIONS, VERSIONED, own_name, parameter_name, style_name
from service.openapi.onward import PLASTIC_LINKS, STYLE_LINKS
from service.openapi.responses import problem_answers


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/styles": {"get": _styles()},
        "/v1/styles/{style}": {
            "parameters": [style_name()],
            "get": _style(),
            "put": _keep_style(),
            "delete": _forget_style(),
        },
        "/v1/styles/{style}/drawings/{parameter}.svg": {
            "parameters": [style_name(built_in=True), parameter_name()],
            "get": _drawing(),
        },
        "/v1/plastics": {"get": _plastics()},
        "/v1/plastics/{name}": {
            "parameters": [own_name("plastic")],
            "get": _plastic(),
            "put": _keep(),
            "delete": _forget(),
        },
        "/v1/plastics/{name}/measurements": {"parameters": [own_name("plastic")], "post": _measure()},
    }


def _styles() -> Item:
    return call(
        "listStyles",
        "Styles and plastics",
        "All styles",
        "Each with its parameters as JSON Schema 2020-12, an example request, and the strands it becomes: the built-in "
        "ones, then the caller's own.",
        {"200": json_answer("Styles", "The styles."), **UNCHANGED, **problem_answers(405, 412, 500, 503)},
        parameters=CONDITIONS,
    )


def _style() -> Item:
    return call(
        "getStyle",
        "Styles and plastics",
        "One style",
        "Built in, or one of the caller's own. Its `params_schema` is good enough to draw a form from; what a house "
        "style holds fast is not in it, and its bounds are the narrower ones.",
        {"200": json_answer("Style", "The style."), **UNCHANGED, **problem_answers(404, 405, 412, 500, 503)},
        parameters=CONDITIONS,
    )


HOUSE_STYLE = {
    "base": "jointed_worm",
    "label": "Alderbank",
    "summary": "Beads on the core that our master was turned for.",
    "fixed": {"core_diameter": "5.5 mm"},
    "bounds": {"length": {"minimum": "3-1/2 in", "maximum": "5 in"}, "bead_count": {"minimum": 8, "maximum": 14}},
    "defaults": {"length": "4-1/2 in"},
    "require": {"joint_pull_n": 12},
    "checks": {"thin_feature": {"limit": 1.5}},
    "plastic": {"grade": "soft", "salt_wt_pct": 10},
    "finish": {"colour": "olive"},
}


def _keep_style() -> Item:
    return keep(
        "keepStyle",
        "Styles and plastics",
        "Keep a house style",
        "A built-in style, narrower: some parameters held fast, others in narrower bounds, its own requirements, of "
        "which and of a request's the stricter counts. A request names it as any style, alone, in a batch or in a fit. "
        "Its definition then stands in the bait's request, so that a house style that is changed or forgotten leaves "
        "old baits as they are. All that contradicts the base is refused at once, and so are defaults that cannot be "
        "built.",
        definition("HouseStyleDefinition", HOUSE_STYLE),
        kept_as("Style", STYLE_LINKS),
    )


def _forget_style() -> Item:
    return forget(
        "forgetStyle",
        "Styles and plastics",
        "Forget a house style",
        "Baits that were asked for in it stay.",
        409,
        422,
    )


def _drawing() -> Item:
    content = {"image/svg+xml": {"schema": {"type": "string"}}}
    return call(
        "drawParameter",
        "Styles and plastics",
        "A drawing of one parameter",
        "The bait from above and from the side at a low, the default and a high value, or at each choice, on one "
        "scale. `x-drawing` in a style's `params_schema` is this address. SVG without scripts or references.",
        {
            "200": {"description": "The drawing.", "content": content},
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _plastics() -> Item:
    return call(
        "listPlastics",
        "Styles and plastics",
        "All plastics",
        "Every figure with a low, a typical and a high value and where it comes from.",
        {"200": json_answer("Plastics", "The plastics."), **UNCHANGED, **problem_answers(405, 412, 500, 503)},
        parameters=CONDITIONS,
    )


def _plastic() -> Item:
    return call(
        "getPlastic",
        "Styles and plastics",
        "One plastic",
        "A built-in grade, or one of the caller's own.",
        {"200": json_answer("Plastic", "The plastic."), **UNCHANGED, **problem_answers(404, 405, 412, 500, 503)},
        parameters=CONDITIONS,
    )


def _keep() -> Item:
    strength = {"low": 1.3, "typical": 1.6, "high": 1.9, "source": "measured, n = 6, 2026-03"}
    example = {"grade": "soft", "properties": {"strength": strength, "hardness": {"scale": "00", "value": 25}}}
    return keep(
        "keepPlastic",
        "Styles and plastics",
        "Keep a plastic of your own",
        "A request then names it: `plastic.name`. Its figures stand in the bait's request, so that a plastic that is "
        "changed makes another bait, and old ones stay as they are. What was not measured is its grade's, and "
        "without a `grade` that of the nearest one.",
        definition("PlasticDefinition", example),
        kept_as("Plastic", PLASTIC_LINKS),
    )


def _measure() -> Item:
    schema = {"$ref": "#/components/schemas/Measurements"}
    pieces = [
        {"kind": "pull", "gauge_width": "6 mm", "gauge_thickness": "4 mm", "break_force_n": 36.5},
        {"kind": "overhang", "diameter": "8 mm", "overhang": "81 mm"},
        {"kind": "droop", "diameter": "8 mm", "length": "60 mm", "drop": "22 mm"},
        {"kind": "density", "mass_g": 20.4, "volume_ml": 20},
        {"kind": "shrinkage", "mould_length": "100 mm", "cooled_length": "98.5 mm"},
    ]
    example = {"measurements": pieces, "source": "one pour, 2026-03-04"}
    return call(
        "measurePlastic",
        "Styles and plastics",
        "Measure a plastic of your own",
        "Test pieces of the plastic alone become its figures, in place of those that were given: the mean, and the "
        "range that nine in ten further pieces would lie in by Student's t; of one or two pieces a wider one by "
        "judgement. Pieces are kept and pooled with those of later calls, each piece counting alike, up to 120 of a "
        "figure; the same call sent again counts once. `earlier: dropped` begins a figure anew, and a plastic that is "
        "put has no pieces. "
        "Stiffness comes from round rods: overhung until the line to the tip falls 41.5 degrees (Peirce "
        "1930, ISO 9073-7, ASTM D1388), or drooping from a level hold. The answer says which of your kept baits' "
        "checks are answered otherwise by the new figures; the baits stay as they are.",
        {
            "200": json_answer("MeasuredPlastic", "Measured.", VERSIONED),
            **problem_answers(400, 404, 405, 408, 409, 412, 413, 415, 422, 500, 503),
        },
        parameters=CHANGE_CONDITIONS,
        requestBody={"required": True, "content": {"application/json": {"schema": schema, "example": example}}},
    )


def _forget() -> Item:
    return forget(
        "forgetPlastic",
        "Styles and plastics",
        "Forget a plastic of your own",
        "Baits that were asked for in it stay.",
        409,
        422,
    )
