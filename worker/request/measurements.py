"""Measured test pieces of a plastic: what `POST /v1/plastics/{name}/measurements` takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from marshmallow import ValidationError

from worker.request.composed import EitherField, ListField, StrictSchema, by_tag, schema
from worker.request.faults import Flaw, loaded
from worker.request.fields import OptionalParameterField, ParameterField, TextField
from worker.request.plastic import MEASURED
from worker.values.own_plastics import FIGURES
from worker.values.parameter import Parameter, six_digits

MOST_PIECES = 60
"""Of one call: each droop takes a few milliseconds."""
LONGEST_SOURCE = 100
"""What was done with how many pieces stands before it, and a source has 200 characters."""
SLENDER = 3.0
"""Rods that overhang by fewer diameters bend by shear and by their hold's give as much (judgement)."""
LEAST_FALL, MOST_FALL = 0.02, 0.8
"""Of the length: less is lost in the reading, and more hangs straight down whatever it is made of (judgement)."""

POOLED, DROPPED = "pooled", "dropped"
EARLIER = Parameter(
    "earlier",
    "choice",
    "Earlier pieces",
    "Those that were measured of the same figures before: pooled with these, each piece counting alike, or dropped, as "
    "where a scale was found to be wrong or the supplier's plastic has changed.",
    default=POOLED,
    choices=(POOLED, DROPPED),
)


def _length(name: str, title: str, text: str, minimum: float, maximum: float) -> ParameterField:
    return _required(
        Parameter(name, "length", title, text, default=minimum, minimum=minimum, maximum=maximum, unit="mm")
    )


def _number(name: str, title: str, text: str, minimum: float, maximum: float, unit: str) -> ParameterField:
    return _required(
        Parameter(name, "number", title, text, default=minimum, minimum=minimum, maximum=maximum, unit=unit)
    )


def _required(parameter: Parameter) -> ParameterField:
    return ParameterField(parameter, required=True)


def _gauge(name: str, text: str) -> OptionalParameterField:
    title = name.replace("_", " ").capitalize()
    return OptionalParameterField(
        Parameter(name, "length", title, text, default=1.0, minimum=0.5, maximum=100.0, unit="mm")
    )


def _piece(kind: str, like: type[StrictSchema] = StrictSchema, /, **members: Any) -> StrictSchema:
    only = Parameter("kind", "choice", "Kind", KINDS[kind], default=kind, choices=(kind,))
    return schema(like, kind=_required(only), **members)


KINDS: Mapping[str, str] = {
    "pull": "A bar that was pulled until it parted: strength.",
    "overhang": "A round rod pushed over an edge until the line to its tip fell 41.5 degrees: modulus.",
    "droop": "A round rod held level by one end, whose tip then hung lower: modulus.",
    "density": "A piece that was weighed, and whose volume is known: density.",
    "shrinkage": "A piece that was laid beside the mould when it was cold: shrinkage.",
}


class _Pull(StrictSchema):
    """A flat gauge by its width and thickness, or a round one by its diameter."""

    FLAT: ClassVar[tuple[str, str]] = ("gauge_width", "gauge_thickness")
    says: ClassVar[Mapping[str, Any]] = {
        "oneOf": [{"required": ["gauge_diameter"], "not": {"anyOf": [{"required": [name]} for name in FLAT]}},
                  {"required": list(FLAT), "not": {"required": ["gauge_diameter"]}}]
    }  # fmt: skip

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        there = [name for name in self.FLAT if name in data]
        if there and "gauge_diameter" in data:
            flaw = Flaw("one-or-the-other", "A round gauge has a diameter alone.", {"members": list(self.FLAT)})
            raise ValidationError({"gauge_diameter": [flaw]})
        if "gauge_diameter" not in data and len(there) < 2:
            detail = "A gauge has a width and a thickness, or a diameter."
            allowed = {"members": [*self.FLAT, "gauge_diameter"]}
            raise ValidationError({name: [Flaw("missing", detail, allowed)] for name in self.FLAT if name not in data})
        return data


class _Overhang(StrictSchema):
    """A rod, not a stub."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        _require_slender("overhang", data["overhang"], data["diameter"])
        return data


class _Droop(StrictSchema):
    """A rod whose fall tells something."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        _require_slender("length", data["length"], data["diameter"])
        least, most = (six_digits(share * data["length"]) for share in (LEAST_FALL, MOST_FALL))
        if not least <= data["drop"] <= most:
            detail = f"Of {data['length']:g} mm a drop from {least:g} to {most:g} mm tells how stiff a rod is."
            allowed = {"minimum": least, "maximum": most, "unit": "mm"}
            raise ValidationError({"drop": [Flaw("out-of-range", detail, allowed)]})
        return data


class _Shrinkage(StrictSchema):
    """What has cooled is no longer than its mould, and little shorter."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        mould = data["mould_length"]
        least = six_digits(mould * (1 - FIGURES["shrinkage"].maximum / 100))
        if not least <= data["cooled_length"] <= mould:
            detail = f"Of a mould of {mould:g} mm a piece comes out {least:g} to {mould:g} mm long."
            allowed = {"minimum": least, "maximum": mould, "unit": "mm"}
            raise ValidationError({"cooled_length": [Flaw("out-of-range", detail, allowed)]})
        return data


def _require_slender(name: str, length: float, diameter: float) -> None:
    if length < SLENDER * diameter:
        least = six_digits(SLENDER * diameter)
        detail = f"A rod of {diameter:g} mm bends as a beam from {least:g} mm on."
        raise ValidationError({name: [Flaw("out-of-range", detail, {"minimum": least, "unit": "mm"})]})


def _diameter() -> ParameterField:
    return _length("diameter", "Diameter", "Of the rod.", 1.0, 50.0)


_PIECES: Mapping[str, StrictSchema] = {
    "pull": _piece(
        "pull",
        _Pull,
        gauge_width=_gauge("gauge_width", "Of a flat bar where it is narrowest, before it is pulled."),
        gauge_thickness=_gauge("gauge_thickness", "Of a flat bar there."),
        gauge_diameter=_gauge("gauge_diameter", "Of a round bar, in place of the two."),
        break_force_n=_number("break_force_n", "Force", "At which it parted.", 0.02, 10000.0, "N"),
    ),
    "overhang": _piece(
        "overhang",
        _Overhang,
        diameter=_diameter(),
        overhang=_length("overhang", "Overhang", "Of the rod, along it, from the edge to its tip.", 3.0, 1000.0),
    ),
    "droop": _piece(
        "droop",
        _Droop,
        diameter=_diameter(),
        length=_length("length", "Length", "Of the rod, along it, from the hold to its tip.", 3.0, 1000.0),
        drop=_length("drop", "Drop", "How far the tip hangs below the hold, from middle to middle.", 0.1, 1000.0),
    ),
    "density": _piece(
        "density",
        mass_g=_number("mass_g", "Mass", "In air.", 0.01, 10000.0, "g"),
        volume_ml=_number("volume_ml", "Volume", "Of the water that it moves aside, say.", 0.01, 10000.0, "ml"),
    ),
    "shrinkage": _piece(
        "shrinkage",
        _Shrinkage,
        mould_length=_length("mould_length", "Mould's length", "As it was cut.", 10.0, 1000.0),
        cooled_length=_length("cooled_length", "Cooled length", "Of the piece, a day later say.", 5.0, 1000.0),
    ),
}

MEASUREMENTS = schema(
    measurements=ListField(
        EitherField(_PIECES, by_tag("kind", tuple(KINDS)), "A test piece", "Of the plastic alone, at about 20 °C."),
        1,
        MOST_PIECES,
        "Measurements",
        "Test pieces of the plastic alone: no salt, softener or hardener, which a request adds.",
    ),
    earlier=ParameterField(EARLIER),
    source=TextField(
        LONGEST_SOURCE, "Source", "When and how they were poured and measured, in a line.", load_default=MEASURED
    ),
)


@dataclass(frozen=True)
class Measurements:
    """Pieces in normal form, each with its `kind`, the caller's words about them, and what becomes of earlier ones."""

    pieces: tuple[Mapping[str, Any], ...]
    source: str
    earlier: str = POOLED


def read_measurements(body: object) -> Measurements:
    """The test pieces in a JSON value. Raises InvalidRequest with every fault at once."""
    read = loaded(MEASUREMENTS, body, "The measurements have")
    return Measurements(tuple(read["measurements"]), read["source"], read["earlier"])
