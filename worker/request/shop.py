"""The members `print`, `shot` and `sheet` of a request: what the bench needs besides the bait."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from marshmallow import ValidationError

from worker.request.composed import ListField, ObjectField, StrictSchema, schema
from worker.request.faults import Flaw
from worker.request.fields import ColourField, FlagField, OptionalParameterField, ParameterField, TextField, refused
from worker.values import pouring, prints, sheets

_LATIN_1 = frozenset(map(chr, (*range(0x20, 0x7F), *range(0xA1, 0x100)))) - {"\u00ad"}
LETTERS = _LATIN_1 | frozenset(sheets.MORE_LETTERS)


class LetteredField(TextField):
    """A line of text that the sheet's typeface has the letters for: better refused than printed as boxes."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **options: Any) -> Any:
        text = super()._deserialize(value, attr, data, **options)
        missing = sorted(set(text) - LETTERS)
        if missing:
            allowed = {"letters": f"Latin-1 and {sheets.MORE_LETTERS}"}
            raise refused(Flaw("no-such-letter", f"The sheet's typeface has no {' '.join(missing[:8])}.", allowed))
        return text


def _words(title: str, text: str, **options: Any) -> LetteredField:
    return LetteredField(sheets.LONGEST, title, text, **options)


class _Shot(StrictSchema):
    """Colours that go together, and viscosities in order."""

    def whole(self, data: dict[str, Any]) -> dict[str, Any]:
        """See StrictSchema."""
        flaws: dict[str, Any] = {}
        low, high = data["viscosity_low_pa_s"], data["viscosity_high_pa_s"]
        if low > high:
            allowed = {"minimum": low, "maximum": pouring.THICK.maximum, "unit": pouring.THICK.unit}
            flaws["viscosity_high_pa_s"] = [Flaw("not-in-order", "The least is at most the greatest.", allowed)]
        if data["release_temperature_c"] >= data["pour_temperature_c"]:
            allowed = {"maximum": data["pour_temperature_c"], "unit": "°C"}
            flaws["release_temperature_c"] = [
                Flaw("not-in-order", "A bait is released colder than it is poured.", allowed)
            ]
        if data.get("wall_temperature_c", data["mould_temperature_c"]) >= data["release_temperature_c"]:
            name = "wall_temperature_c" if "wall_temperature_c" in data else "mould_temperature_c"
            allowed = {"maximum": data["release_temperature_c"], "unit": "°C"}
            flaws[name] = [Flaw("not-in-order", "The wall is colder than the bait that leaves it.", allowed)]
        flaw = _colours_together(data["method"], [each.get("share_pct") for each in data["colours"]])
        if flaw is not None:
            flaws["colours"] = [flaw]
        if flaws:
            raise ValidationError(flaws)
        return data


COUNTS = {"single": (0, 1), "laminate": (2, pouring.MOST_COLOURS), "core_shot": (0, 2)}
"""How many colours each method takes."""


def _colours_together(method: str, shares: list[float | None]) -> Flaw | None:
    fewest, most = COUNTS[method]
    if not fewest <= len(shares) <= most:
        allowed = {"minItems": fewest, "maxItems": most}
        return Flaw("not-together", f"{method} takes {fewest} to {most} colours.", allowed)
    given = [each for each in shares if each is not None]
    if method != "laminate":
        return Flaw("not-together", f"{method} has no shares.", {"members": ["colour", "name"]}) if given else None
    whole, left = sum(given), len(shares) - len(given)
    if (left and whole >= 100) or (not left and abs(whole - 100) > 0.05):
        return Flaw("not-together", f"The shares are {whole:g} % together, not 100.", {"sum": 100})
    return None


_COLOUR = schema(
    name=_words("Name", "What you call it."),
    colour=ColourField(),
    share_pct=OptionalParameterField(pouring.SHARE),
)
_COST = schema(
    currency=_words("Currency", "As it is to stand beside the figures.", load_default=""),
    **{
        each.name: ParameterField(each)
        for each in (pouring.PLASTIC_PRICE, pouring.SALT_PRICE, pouring.EXTRAS_PRICE, pouring.HOUR_PRICE)
    },
)


def _members(parameters: Iterable[Any]) -> dict[str, Any]:
    return {each.name: ParameterField(each) for each in parameters}


SHOT = schema(
    _Shot,
    **_members((pouring.POUR, pouring.MOULD, pouring.RELEASE, pouring.BAITS, pouring.BOTTLE, pouring.INJECTOR)),
    **_members(
        (
            pouring.PRESSURE,
            pouring.FLOW,
            pouring.THIN,
            pouring.THICK,
            pouring.WASTE,
            pouring.HANDLING,
            pouring.MOULDS,
        )
    ),
    remelt_pct=OptionalParameterField(pouring.REMELT),
    wall_temperature_c=OptionalParameterField(pouring.WALL),
    packed=FlagField(
        "Packed",
        "The injector holds its pressure until the gate has set: the bait then shrinks less.",
        load_default=False,
    ),
    method=ParameterField(pouring.METHOD),
    colours=ListField(
        ObjectField(_COLOUR), 0, pouring.MOST_COLOURS, "Colours", "Back or skin first; none: the finish's.", default=[]
    ),
    core_diameter=ParameterField(pouring.CORE_DIAMETER),
    core_length=OptionalParameterField(pouring.CORE_LENGTH),
    cost=ObjectField(_COST, "Prices", "With them the answer tells what a bait costs.", absent=True),
)
PRINT = schema(
    **_members((prints.PROCESS, prints.NOZZLE, prints.PIXEL, prints.LAYER, prints.MATERIAL, prints.CAST_IN)),
    print_shrinkage_pct=OptionalParameterField(prints.PRINT_SHRINKAGE),
    mould_shrinkage_pct=OptionalParameterField(prints.CAST_SHRINKAGE),
    bed=ObjectField(
        schema(**_members((prints.BED_LENGTH, prints.BED_WIDTH, prints.BED_HEIGHT))), "Bed", "What the printer holds."
    ),
    **_members((prints.BASE, prints.FLAT_DEPTH, prints.STUB_AT, prints.STUB_DIAMETER, prints.STUB_LENGTH)),
    overhang_deg=ParameterField(prints.OVERHANG),
)
_RECIPE = schema(
    what=_words("What", "A colour, a glitter, a scent.", required=True),
    amount=_words("Amount", "As you measure it, drops or grams; left out, a line to write on.", load_default=""),
)
SHEET = schema(
    title=_words("Title", "The sheet's heading; it stands in the file.", load_default="Bench sheet"),
    customer=_words("Customer", "For whom the baits are poured."),
    batch=_words("Batch number", "Left out, a line to write on."),
    note=LetteredField(200, "Note", "Anything else that the bench should know."),
    recipe=ListField(ObjectField(_RECIPE), 0, sheets.MOST_RECIPE_ROWS, "Colour recipe", "Row by row.", default=[]),
    **_members((sheets.PAPER, sheets.PACK, sheets.MINUTES, sheets.REHEATS, sheets.COOL, sheets.REST)),
    bag_length=OptionalParameterField(sheets.BAG),
)

PRINT_MEMBER = ObjectField(PRINT, "Print", "How the master is printed; told with it.", absent=True)
SHOT_MEMBER = ObjectField(
    SHOT,
    "Shot",
    "How the bait is poured. With it, with a mould or a bench sheet the answer tells the shot's figures.",
    absent=True,
)
SHEET_MEMBER = ObjectField(SHEET, "Sheet", "The words and the handling on the bench sheet.", absent=True)

NEEDED = {"sheet": ("sheet", "shot"), "master": ("print",), "mould": ("shot",)}
"""The members that an output, or a member of that name, cannot do without: their defaults are written."""

_SCHEMAS = {"print": PRINT, "shot": SHOT, "sheet": SHEET}


def completed(top: dict[str, Any]) -> dict[str, Any]:
    """The members of a request in normal form with the defaults of those that what is asked for needs."""
    asked = {*top["outputs"], *(name for name in NEEDED if name in top)}
    needed = dict.fromkeys(name for each in NEEDED if each in asked for name in NEEDED[each])
    return {**top, **{name: _SCHEMAS[name].load({}) for name in needed if name not in top}}
