"""How the shape of a strand is read: its path, girth, section, relief, ends and bands."""

from __future__ import annotations

from typing import Any

from worker.open_form import declared as d
from worker.request.composed import EitherField, ListField, ObjectField, StrictSchema, by_member, by_tag, schema
from worker.request.fields import FlagField, OptionalParameterField, ParameterField, StationField, WordOrLengthField
from worker.request.open_form.members import GirthStationSchema, PitchOrCountSchema
from worker.values.parameter import Parameter


def required(parameter: Parameter) -> ParameterField:
    """A number or choice that has to be there."""
    return ParameterField(parameter, required=True)


def point(title: str, text: str, *, default: list[Any] | None = None) -> ListField:
    """Three coordinates: ahead, to the left, to the back."""
    return ListField(required(d.COORDINATE), 3, 3, title, text, default=default)


def station(title: str, text: str, default: float | None = None) -> StationField:
    """A place along a strand."""
    return StationField(title, text, **({"required": True} if default is None else {"load_default": default}))


def stretch(begin: float | None = None, end: float | None = None) -> dict[str, StationField]:
    """`from` and `to`."""
    return {"from": station("From", "Where it begins.", begin), "to": station("To", "Where it ends.", end)}


def tagged(kind: str, like: type[StrictSchema] = StrictSchema, /, **members: Any) -> StrictSchema:
    """An object of one kind out of several."""
    only = Parameter("kind", "choice", "Kind", "Which of them.", default=kind, choices=(kind,))
    return schema(like, kind=required(only), **members)


_KNOT = schema(
    point=point("Point", "Where the path is."),
    tangent=point("Tangent", "Where it goes there, and by its length (mm) how straight on it goes."),
    arrive=OptionalParameterField(d.ARRIVE),
    leave=OptionalParameterField(d.LEAVE),
)

PATH = EitherField(
    {
        "length": schema(length=required(d.PATH_LENGTH)),
        "points": schema(
            points=ListField(
                point("A point", "Millimetres ahead, to the left and to the back."),
                2,
                d.MOST_POINTS,
                "Points",
                "Points that the path goes through, joined smoothly.",
            )
        ),
        "curve": schema(
            curve=ListField(
                ObjectField(_KNOT),
                2,
                d.MOST_POINTS,
                "Curve",
                "Cubic Hermite curves from point to point: two points with their tangents make one.",
            )
        ),
    },
    by_member(("length", "points", "curve")),
    "Path",
    "The line from root to tip in the strand's own directions: ahead, to its left, to its back.",
)


def _girth(width: Parameter) -> ListField:
    return ListField(
        ObjectField(
            schema(
                GirthStationSchema,
                at=station("At", "Where along the strand."),
                width=required(width),
                back=OptionalParameterField(d.GIRTH_BACK),
                belly=OptionalParameterField(d.GIRTH_BELLY),
                height=OptionalParameterField(d.GIRTH_HEIGHT),
            )
        ),
        1,
        d.MOST_GIRTHS,
        "Girth",
        "Sections from root to tip, interpolated without overshoot; before the first and behind the last they stay.",
    )


GIRTH, HOLLOW_GIRTH = _girth(d.GIRTH_WIDTH), _girth(d.HOLLOW_WIDTH)
"""A strand's, and a hollow's, which a knife may leave."""


def section(upper: Parameter, lower: Parameter) -> ObjectField:
    """Exponents and floor."""
    members = schema(upper=ParameterField(upper), lower=ParameterField(lower), floor=OptionalParameterField(d.FLOOR))
    return ObjectField(members, "Section", "Its shape: an ellipse, or squarer.")


_CORE = schema(width_share=ParameterField(d.CORE_WIDTH), height_share=ParameterField(d.CORE_HEIGHT))

RELIEF = EitherField(
    {
        "plain": tagged("plain"),
        "beads": tagged(
            "beads",
            count=required(d.BEAD_COUNT),
            length_ratio=ParameterField(d.BEAD_LENGTH_RATIO),
            blend=ParameterField(d.BEAD_BLEND),
            segment=ParameterField(d.SEGMENT),
            core=ObjectField(_CORE, "Core", "A plain strand through the beads; left out, there is none.", absent=True),
        ),
        "ribs": tagged(
            "ribs",
            PitchOrCountSchema,
            **stretch(0.25, 0.85),
            pitch=OptionalParameterField(d.RIB_PITCH),
            count=OptionalParameterField(d.RIB_COUNT),
            depth=ParameterField(d.RIB_DEPTH),
            land=ParameterField(d.RIB_LAND),
            edge=ParameterField(d.RIB_EDGE),
            steep=ParameterField(d.RIB_STEEP),
            cover=ParameterField(d.COVER),
        ),
        "rings": tagged(
            "rings",
            PitchOrCountSchema,
            **stretch(0.25, 0.85),
            pitch=OptionalParameterField(d.RING_PITCH),
            count=OptionalParameterField(d.RING_COUNT),
            depth=ParameterField(d.RING_DEPTH),
            cover=ParameterField(d.COVER),
        ),
    },
    by_tag("kind", ("plain", "beads", "ribs", "rings")),
    "Relief",
    "What is modelled into its surface.",
    default={"kind": "plain"},
)

BANDS = ListField(
    ObjectField(
        schema(
            **stretch(),
            raised=ParameterField(d.RAISED),
            head=WordOrLengthField(d.END_WORDS, d.HEAD_LENGTH, None),
        )
    ),
    0,
    d.MOST_BANDS,
    "Bands",
    "Stretches where the relief gives way to the plain girth: a smooth nose, an egg band.",
    default=[],
)


def ends(root: str, tip: str) -> ObjectField:
    """The two ends."""
    return ObjectField(
        schema(
            root=WordOrLengthField(d.END_WORDS, d.END_LENGTH, root),
            tip=WordOrLengthField(d.END_WORDS, d.END_LENGTH, tip),
            upright=FlagField(
                "Upright", "Round as seen from the back alone, as a plate is; without relief only.", load_default=False
            ),
        ),
        "Ends",
        "How it ends; beads end where the first and the last one do.",
    )


def shape(root: str = "round", tip: str = "round") -> dict[str, Any]:
    """The members that every strand has, with the ends that it has by default."""
    return {
        "path": PATH,
        "girth": GIRTH,
        "section": section(d.UPPER, d.LOWER),
        "relief": RELIEF,
        "ends": ends(root, tip),
        "bands": BANDS,
    }
