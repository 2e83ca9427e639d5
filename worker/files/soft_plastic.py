"""A glTF material that reads as soft plastic: light goes some way into it, and its skin is oily and smooth.

Ratified Khronos extensions only: KHR_materials_transmission, KHR_materials_volume, KHR_materials_ior,
KHR_materials_clearcoat. A viewer
that knows none of them shows an opaque, glossy body of the same colour.
"""

from __future__ import annotations

from worker.picture.finish import Finish
from worker.picture.glow import REFRACTION

EXTENSIONS = (
    "KHR_materials_clearcoat",
    "KHR_materials_ior",
    "KHR_materials_transmission",
    "KHR_materials_volume",
)

_ROUGHNESS = 0.5
"""Of the body: light that has been inside comes out blurred (judgement)."""

_SKIN, _SKIN_ROUGHNESS = 0.5, 0.2
"""Strength and roughness of the oily skin (judgement): a moulded bait mirrors a window, not its frame."""

_THROUGH = 0.6
"""Share of the light that has gone in and passes straight on; the rest is scattered back, which a viewer draws as a
matt body of the plastic's colour. With all of it passing, a bait looks like glass (judgement, by looking)."""

_TINTED_ONCE = 4.0
"""The base colour has tinted the light by the time that attenuation tints it again. Four times the reach keeps a bait's
mid-tones at its colour; the reach itself made olive nearly black (judgement, by looking)."""

_SHINES = 0.2
"""Share of its colour that a fluorescent plastic gives off by itself (judgement)."""

_DARKEST = 0.012
"""No dye is so strong that nothing comes through a short way."""


def soft_plastic(finish: Finish, thickness_mm: float, metres_per_unit: float) -> dict[str, object]:
    """The material of a bait of one colour.

    The finish's clarity is the share of the light that goes in, its reach how far that gets before what is left has the
    plastic's colour, `thickness_mm` the mean way through the body. The extension wants the thickness in the mesh's own
    units, of `metres_per_unit`, but the distance of attenuation in the world's metres.
    """
    colour = [_figure(channel) for channel in finish.colour]
    return {
        **_body("soft plastic", finish),
        "extensions": {
            "KHR_materials_clearcoat": {
                "clearcoatFactor": _SKIN,
                "clearcoatRoughnessFactor": _SKIN_ROUGHNESS,
            },
            "KHR_materials_ior": {"ior": REFRACTION},
            "KHR_materials_transmission": {"transmissionFactor": _figure(_THROUGH * finish.clarity)},
            "KHR_materials_volume": {
                "attenuationColor": [max(channel, _DARKEST) for channel in colour],
                "attenuationDistance": _figure(_TINTED_ONCE * finish.reach_mm / 1000.0),
                "thicknessFactor": _figure(thickness_mm / 1000.0 / metres_per_unit),
            },
        },
    }


def core_plastic(finish: Finish) -> dict[str, object]:
    """The material of a core: without light passing through, for only what is opaque is seen through another body."""
    return _body("core", finish)


def _body(name: str, finish: Finish) -> dict[str, object]:
    colour = [_figure(channel) for channel in finish.colour]
    shining = {"emissiveFactor": [_figure(_SHINES * channel) for channel in colour]} if finish.fluorescent else {}
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": _ROUGHNESS,
        },
        **shining,
    }


def _figure(value: float) -> float:
    """Six significant digits, as all our figures."""
    return float(f"{value:.6g}")
