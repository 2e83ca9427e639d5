"""A shop that takes orders for worms: a form, and for each order a slip with sentence, picture, price and bait id.

    pip install flask ./openapi/clients/python
    flask --app openapi/examples/storefront/shop run        # POURWRIGHT_URL, POURWRIGHT_KEY: where it asks

To be copied and changed. The key stays here: a browser sees this server alone. Nothing is kept here either: a slip is
made anew from the bait's id, for the service keeps the bait.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from flask import Flask, Response, abort, redirect, render_template, request, url_for
from pourwright_client import Answered, Bait, Busy, Client, EndedBadly, NotThere, PourwrightError, Refused
from pourwright_client import pointers as places_of

GRADES = ("soft", "medium", "firm")
COLOURS = {"olive": "#808000", "brown": "#8b4513", "black": "#000000", "white": "#ffffff", "red": "#dc143c"}
"""As the service's normal form has them, so that a slip can tell them by our names again."""
FIELDS: Mapping[str, tuple[str, str, str]] = {
    # name in the form: place in the request, words, what stands there at first
    "length": ("/params/length", "Length, as 4-1/2 in or 115 mm", "4-1/2 in"),
    "beads": ("/params/bead_count", "Beads", "11"),
    "bead": ("/params/bead_diameter", "Width of a bead", "8.5 mm"),
    "core": ("/params/core_diameter", "Core between them", "5.5 mm"),
    "salt": ("/plastic/salt_wt_pct", "Salt, per cent by weight", "10"),
    "grade": ("/plastic/grade", "Plastic", "soft"),
    "colour": ("/finish/colour", "Colour", "olive"),
}
LENGTHS = ("/params/length", "/params/bead_diameter", "/params/core_diameter")
MOST = 500
"""Baits on one slip."""
# The shop's own prices, in euros: they are no part of the bait, which is the same bait whatever it costs.
A_BAIT, A_GRAM, FROM_FIFTY = Decimal("0.55"), Decimal("0.06"), Decimal("0.90")


def bait_request(form: Mapping[str, str]) -> dict[str, Any]:
    """The request for Pourwright. Texts go as they are: the service reads lengths, and says what is wrong with them."""
    return {
        "style": "jointed_worm",
        "params": {
            "length": form["length"],
            "bead_count": number(form["beads"]),
            "bead_diameter": form["bead"],
            "core_diameter": form["core"],
        },
        "plastic": {"grade": form["grade"], "salt_wt_pct": number(form["salt"])},
        "finish": {"colour": COLOURS.get(form["colour"], form["colour"])},
        "outputs": ["thumbnail"],
    }


def number(text: str) -> float | int | str:
    """A number where it is one; else the text, for the service to refuse."""
    try:
        value = float(text)
    except ValueError:
        return text
    return (int(value) if value.is_integer() else value) if abs(value) < 1e6 else text


def sentence(asked: Mapping[str, Any]) -> str:
    """A bait's request in normal form (millimetres, defaults written), in words."""
    params, plastic = asked["params"], asked["plastic"]
    salt = f", {plastic['salt_wt_pct']:g} % salt" if plastic.get("salt_wt_pct") else ""
    colour = next(
        (name for name, css in COLOURS.items() if css == asked["finish"]["colour"]), asked["finish"]["colour"]
    )
    words = (
        f"A {inches(params['length'])} worm of {params['bead_count']} beads of {params['bead_diameter']:g} mm "
        f"on a {params['core_diameter']:g} mm core, {plastic['grade']}{salt}, {colour}."
    )
    return re.sub(r"(?<=\d) (?=mm|in|%)", "\N{NO-BREAK SPACE}", words)  # a number stays with its unit


def inches(length_mm: float) -> str:
    """As a maker writes it where it is sixteenths of an inch, else in millimetres."""
    sixteenths = round(length_mm / 25.4 * 16)
    if abs(sixteenths * 25.4 / 16 - length_mm) > 0.01:
        return f"{length_mm:g} mm"
    whole, part = divmod(Fraction(sixteenths, 16), 1)
    return f"{whole}-{part} in" if whole and part else f"{whole or part} in"


def price(mass_g: float, count: int) -> tuple[Decimal, Decimal]:
    """Of one bait and of all, in euros, rounded to cents once each."""
    one = A_BAIT + A_GRAM * Decimal(str(mass_g))
    one = (one * (FROM_FIFTY if count >= 50 else 1)).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return one, one * count


def remedies(bait: Bait) -> list[dict[str, Any]]:
    """For each remedy of a failed check what the form would hold, where the form can say it."""
    names = {place: name for name, (place, _, _) in FIELDS.items()}
    found = []
    for check in bait.failed_checks:
        for remedy in check.remedies:
            changes = dict(places_of(remedy.patch))
            if changes.keys() <= names.keys():
                found.append(
                    {"text": remedy.text, "fields": {names[at]: written(at, to) for at, to in changes.items()}}
                )
    return found


def written(place: str, value: object) -> object:
    """A remedy's value as the form has it: a length with its unit."""
    return f"{value} mm" if place in LENGTHS else value


def create_app(pourwright: Client | None = None) -> Flask:
    """The shop, which asks this Pourwright."""
    service = pourwright or Client(os.environ.get("POURWRIGHT_URL", "http://127.0.0.1:8080"), patience_s=25)
    app = Flask(__name__, root_path=str(Path(__file__).parent))
    app.config["MAX_CONTENT_LENGTH"] = 16_384

    def order_page(form: Mapping[str, str], status: int = 200, **told: Any) -> tuple[str, int]:
        return render_template("order.html", form=form, fields=FIELDS, grades=GRADES, colours=COLOURS, **told), status

    @app.get("/")
    def ask() -> tuple[str, int]:
        return order_page({**{name: first for name, (_, _, first) in FIELDS.items()}, "count": "50"})

    @app.post("/slips")
    def order() -> Any:
        form = {name: request.form.get(name, "").strip()[:40] for name in (*FIELDS, "count")}
        count = form["count"]
        if not (count.isascii() and count.isdigit() and 1 <= int(count) <= MOST):
            return order_page(form, 422, faults={"count": [f"How many is a whole number, from 1 to {MOST}."]})
        try:
            asked = bait_request(form)
            estimated = service.estimate(asked)
            if estimated.failed_checks:  # what would tear is not sold: what would mend it is offered
                return order_page(form, 422, failed=estimated.failed_checks, remedies=remedies(estimated))
            bait = service.build(asked)
        except Refused as refused:
            places = {name: refused.problem.at(place) for name, (place, _, _) in FIELDS.items()}
            by_field = {name: [fault.detail for fault in faults] for name, faults in places.items() if faults}
            rest = [] if by_field else [refused.problem.detail]
            return order_page(form, 422, faults=by_field, rest=rest)
        except EndedBadly as ended:
            return order_page(form, 422, rest=[str(ended)])
        return redirect(url_for("slip", bait_id=bait.id, count=int(count)), 303)

    @app.get("/slips/<bait_id>")
    def slip(bait_id: str) -> str:
        bait = service.wait(bait_id)
        count = min(MOST, max(1, request.args.get("count", 1, type=int)))
        if bait.request.get("style") != "jointed_worm":
            abort(404)  # a bait of this caller's, and none of this shop's
        one, all_of_them = price(bait.metrics["mass_g"], count)
        return render_template(
            "slip.html", bait=bait, sentence=sentence(bait.request), count=count, one=one, all_of_them=all_of_them
        )

    @app.get("/pictures/<bait_id>.webp")
    def picture(bait_id: str) -> Response:
        """Held against its SHA-256 on the way through; a bait's picture never changes."""
        content = service.fetch(service.bait(bait_id).file("thumbnail.webp"))
        kept = {"Cache-Control": "public, max-age=31536000, immutable"}
        return Response(content, mimetype="image/webp", headers=kept)

    @app.errorhandler(PourwrightError)
    def away(error: PourwrightError) -> tuple[str, int, dict[str, str]]:
        """A shop that cannot work something out says so; what is wrong inside is for its log."""
        if isinstance(error, NotThere):
            return (
                render_template("sorry.html", text="There is no such slip, or it was cleared away: order it anew."),
                404,
                {},
            )
        app.logger.warning("Pourwright: %s", error)
        wait_s = error.retry_after_s if isinstance(error, Busy) else None
        status = 503 if isinstance(error, Busy) or not isinstance(error, Answered) else 502
        text = "The workshop cannot answer just now. Nothing was ordered; please try again in a moment."
        return render_template("sorry.html", text=text), status, {"Retry-After": f"{wait_s or 5:.0f}"}

    @app.after_request
    def closed(response: Response) -> Response:
        """Pages load nothing from elsewhere and stand in nobody's frame."""
        response.headers.setdefault("Content-Security-Policy", "default-src 'self'; frame-ancestors 'none'")
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        return response

    return app
