"""The `shot` of an answer's metrics: figures at 6 digits, from a bait's volume, its plastic and its mould."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from worker.checks.subject import Subject
from worker.measures.hook.along import trunk_length
from worker.measures.strand.thickest import Thickest, thickest_of
from worker.measures.water.spread import spread_of
from worker.shot.colours import Coloured, colours_of
from worker.shot.cycle import Cooling, Filling, between_shots, cooling_of, fillings_of, per_hour
from worker.shot.masses import Masses, hot_density, remelt_share
from worker.shot.mould_of import Channels, assumed_mould
from worker.values.blends import poured
from worker.values.mould_figures import MouldFigures
from worker.values.parameter import six_digits
from worker.values.shrinkage import cavity_scale, of_plastic

HOLLOW = "The thickest place is taken to cool as if it were solid: what hollows leave cools sooner."
MIXED = "What sets in the channels is of all colours and is taken to go back into no pot."


def shot_figures(subject: Subject, volume: float, mould: MouldFigures | None = None) -> dict[str, Any]:
    """The shot of a bait of `volume` mm3; without a mould's figures plain assumptions, which are told.

    The request has to have its `shot`.
    """
    return Shot(subject, volume, mould).describe()


@dataclass(frozen=True)
class Shot:
    """One request's shot, each figure worked out once."""

    subject: Subject
    volume: float
    given: MouldFigures | None = None

    @property
    def asked(self) -> dict[str, Any]:
        """`shot` in normal form."""
        return dict(self.subject.request.normal["shot"])

    @cached_property
    def scale(self) -> float:
        """Length of the cavity over the bait's."""
        return cavity_scale(self.subject.request.normal)

    @cached_property
    def thickest(self) -> Thickest:
        """Of the cold bait."""
        return thickest_of(self.subject.trunk_strands, self.subject.limbs)

    @cached_property
    def channels(self) -> Channels:
        """The mould."""
        if self.given is not None:
            return Channels(self.given)
        subject = self.subject
        taken, _ = subject.taken
        spread = spread_of(subject.trunk_strands, subject.limbs, subject.hollows, self.volume + taken, taken)
        plan = sum(part.plan for part in spread.parts) * self.scale**2
        return assumed_mould(self.volume * self.scale**3, plan, self.thickest, self.scale, subject.request.normal)

    @cached_property
    def cooling(self) -> Cooling:
        """Until it can be taken out."""
        return cooling_of(self.asked, self.channels.mould, self.thickest, self.scale)

    @cached_property
    def hot(self) -> float:
        """Density at the pour, g/mm3."""
        return hot_density(self.subject.plastic.density.typical, self.asked["pour_temperature_c"]) / 1000

    @cached_property
    def masses(self) -> Masses:
        """Of one shot."""
        mould, asked = self.channels.mould, self.asked
        # As it leaves the mould: what is cut out of it later is poured too, and an open face stays level.
        bait = mould.cavity_volume / self.scale**3 * self.subject.plastic.density.typical / 1000
        in_channels = (mould.channels_volume + mould.sprue_volume) * self.hot
        return Masses(bait, mould.cavities, in_channels, asked["waste_pct"] / 100, remelt_share(asked))

    @cached_property
    def colours(self) -> tuple[Coloured, ...]:
        """Their shares."""
        finish = self.subject.request.normal["finish"]["colour"]
        return colours_of(self.asked, finish, trunk_length(self.subject.trunk_strands), self.volume)

    def describe(self) -> dict[str, Any]:
        """JSON-ready."""
        mould, masses, asked = self.channels.mould, self.masses, self.asked
        shot_ml = masses.shot / self.hot / 1000
        fills, fed = asked["injector_ml"] / shot_ml, masses.bait - self.hot * mould.cavity_volume
        shrinkage = of_plastic(self.subject.request.normal)
        return {
            "shrinkage_pct": six_digits(shrinkage.per_cent),
            "shrinkage_source": shrinkage.source,
            "cavity_scale": six_digits(self.scale),
            "cavities": mould.cavities,
            "cavity_mm3": six_digits(mould.cavity_volume),
            "channels_mm3": six_digits(mould.channels_volume + mould.sprue_volume),
            "hot_density_g_cm3": six_digits(1000 * self.hot),
            "bait_g": six_digits(masses.bait),
            "fed_from_sprue_g": six_digits(max(fed, 0.0) if self.channels.gated else 0.0),
            "channels_g": six_digits(masses.channels),
            "shot_g": six_digits(masses.shot),
            "shot_ml": six_digits(shot_ml),
            "waste_g": six_digits(masses.wasted),
            "remelt_g": six_digits(masses.remelted),
            "fresh_g": six_digits(masses.fresh),
            "injector_fillings": 1 if fills >= 1 else math.ceil(1 / fills),
            "shots_per_filling": math.floor(fills),
            "colours": [self._colour(each) for each in self.colours],
            **self._mixed(),
            "clamp_n": six_digits(asked["pressure_mpa"] * mould.projected_area if self.channels.gated else 0.0),
            "projected_mm2": six_digits(mould.projected_area),
            **self._cycle(),
            "assumed": [*self._assumed()],
        }

    def _assumed(self) -> Iterator[str]:
        """Sentences."""
        asked = self.asked
        yield from self.channels.assumed
        yield from self.cooling.assumed
        if self.subject.hollows:
            yield HOLLOW
        if self.masses.channels > 0 and asked["method"] != "single" and "remelt_pct" not in asked:
            yield MIXED
        if asked.get("cost", {}).get("work_per_hour", 0) > 0:
            yield _work(self.masses.cavities, int(asked["moulds_in_turn"]))

    def _colour(self, each: Coloured) -> dict[str, Any]:
        grams = each.share * self.masses.bait
        told = {"place": each.place, "name": each.name, "colour": each.colour}
        share = {"share_pct": six_digits(100 * each.share), "bait_g": six_digits(grams)}
        return {**told, **share, "run_fresh_g": six_digits(each.share * self.masses.run(self.shots))}

    @cached_property
    def shots(self) -> int:
        """Of the whole run."""
        return math.ceil(int(self.asked["baits"]) / self.channels.mould.cavities)

    def _mixed(self) -> dict[str, Any]:
        """What is taken from bottle and salt bag: salt by weight, plastic by the litre as it is bought."""
        plastic, asked = self.subject.request.normal["plastic"], self.asked
        salt = plastic["salt_wt_pct"] / 100
        unsalted = poured({**plastic, "salt_wt_pct": 0.0}).density.typical
        a_bait = self.masses.fresh / self.masses.cavities
        plastic_ml = a_bait * (1 - salt) / unsalted
        run = self.masses.run(self.shots)
        told = {
            "fresh_per_bait_g": six_digits(a_bait),
            "salt_per_bait_g": six_digits(a_bait * salt),
            "salt_per_litre_g": six_digits(1000 * unsalted * salt / (1 - salt)),
            "plastic_per_bait_ml": six_digits(plastic_ml),
            "baits_per_litre": six_digits(1000 / plastic_ml),
            "baits_per_bottle": math.floor(asked["bottle_ml"] / plastic_ml),
            "run": {
                "baits": asked["baits"],
                "shots": self.shots,
                "plastic_ml": six_digits(run * (1 - salt) / unsalted),
                "plastic_g": six_digits(run * (1 - salt)),
                "salt_g": six_digits(run * salt),
                "bottles": math.ceil(run * (1 - salt) / unsalted / asked["bottle_ml"] - 1e-9),
            },
        }
        return {**told, "cost": self._cost(plastic_ml, a_bait * salt)}

    def _cost(self, plastic_ml: float, salt_g: float) -> dict[str, Any] | None:
        prices = self.asked.get("cost")
        if prices is None:
            return None
        parts = {
            "plastic": plastic_ml / 1000 * prices["plastic_per_l"],
            "salt": salt_g / 1000 * prices["salt_per_kg"],
            "extras": prices["extras_per_bait"],
            "work": self.shot_every_s / self.masses.cavities / 3600 * prices["work_per_hour"],
        }
        told = {name: six_digits(part) for name, part in parts.items()}
        return {"currency": prices["currency"], **told, "per_bait": six_digits(sum(parts.values()))}

    @cached_property
    def fill(self) -> tuple[Filling, Filling] | None:
        """At the least and the greatest viscosity."""
        return fillings_of(self.asked, self.channels)

    @property
    def busy_s(self) -> float:
        """The hands' share of a mould's cycle: the slower filling, and handling."""
        return (self.fill[1].seconds if self.fill else 0.0) + float(self.asked["handling_s"])

    @property
    def cycle_s(self) -> float:
        """Of one mould from shot to shot: the usual cooling too."""
        return self.busy_s + self.cooling.usual

    @property
    def shot_every_s(self) -> float:
        """From one shot to the next, of whichever mould."""
        return between_shots(self.busy_s, self.cooling.usual, int(self.asked["moulds_in_turn"]))

    def _cycle(self) -> dict[str, Any]:
        cooling, fill = self.cooling, self.fill
        return {
            "fill": None if fill is None else {"thin": _filling(fill[0]), "thick": _filling(fill[1])},
            "cooling": {
                "form": cooling.body.form,
                "thickness_mm": six_digits(cooling.body.across),
                "wall_c": six_digits(cooling.wall),
                "low_s": six_digits(cooling.fast),
                "typical_s": six_digits(cooling.usual),
                "high_s": six_digits(cooling.slow),
            },
            "cycle_s": six_digits(self.cycle_s),
            "shot_every_s": six_digits(self.shot_every_s),
            "baits_per_hour": six_digits(per_hour(self.channels.mould.cavities, self.shot_every_s)),
        }


def _filling(each: Filling) -> dict[str, float]:
    return {"seconds": six_digits(each.seconds), "pressure_mpa": six_digits(each.drop)}


def _work(cavities: int, moulds: int) -> str:
    whole = "1 cavity" if cavities == 1 else f"{cavities} cavities"
    if moulds == 1:
        return f"Work is paid for the whole cycle of one mould of {whole}, the wait while it cools with it."
    return f"Work is paid for the time between two shots of {moulds} moulds in turn, of {whole} each."
